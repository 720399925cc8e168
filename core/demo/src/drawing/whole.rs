//! The whole boat, ashore.

use super::sheet::{Colour, INK, PENCIL, Sheet, curve, ellipse, rounded};

const TOPSIDES: Colour = [0xE6, 0xE2, 0xD4];
const BOTTOM: Colour = [0x8E, 0x4A, 0x3C];
const HOUSE: Colour = [0xB9, 0x82, 0x4C];
const TIMBER: Colour = [0xB5, 0x96, 0x6A];

/// Draws her in profile on keel blocks and props.
pub(super) fn ashore(sheet: &mut Sheet) {
    sheet.wash(
        &[(0, 0), (1200, 0), (1200, 640), (0, 640)],
        [0xCB, 0xD6, 0xD8],
        130,
    );
    let mut trees = curve((0, 520), (260, 420), (460, 500), (700, 470));
    trees.extend(curve((700, 470), (900, 440), (1050, 500), (1200, 450)));
    trees.extend([(1200, 660), (0, 660)]);
    sheet.wash(&trees, [0x93, 0xA5, 0x9A], 130);
    let shed = [
        (880, 640),
        (880, 440),
        (1010, 380),
        (1150, 436),
        (1150, 640),
    ];
    sheet.wash(&shed, [0xB2, 0x86, 0x74], 150);
    sheet.line(&shed, 22, PENCIL);
    sheet.hatch(
        &[(880, 640), (880, 440), (1010, 380), (1010, 640)],
        (0, 9),
        (13, 0),
        12,
        PENCIL,
    );
    sheet.wash(
        &[(0, 640), (1200, 640), (1200, 900), (0, 900)],
        [0xC2, 0xB6, 0x98],
        200,
    );
    sheet.stipple(
        &[(0, 690), (1200, 690), (1200, 830), (0, 830)],
        19,
        24,
        PENCIL,
    );
    spars(sheet);
    hull(sheet);
    house(sheet);
    props(sheet);
}

/// The mast, the boom with its cover, and the wires.
fn spars(sheet: &mut Sheet) {
    sheet.line(&[(470, 356), (474, 44)], 150, INK);
    sheet.line(&[(470, 356), (474, 48)], 96, HOUSE);
    sheet.line(&[(474, 56), (152, 370)], 16, INK);
    sheet.line(&[(474, 56), (1010, 372)], 16, INK);
    sheet.line(&[(474, 60), (438, 380)], 16, INK);
    sheet.line(&[(474, 60), (520, 384)], 16, INK);
    let cover = [(474, 268), (800, 292), (800, 316), (640, 324), (474, 306)];
    sheet.wash(&cover, [0x5E, 0x72, 0x86], 220);
    sheet.outline(&cover);
    sheet.hatch(&cover, (2, 9), (24, 2), 14, INK);
}

/// Sheer, waterline, keel and rudder.
fn hull(sheet: &mut Sheet) {
    let mut keel = vec![(330, 588)];
    keel.extend(curve((330, 588), (360, 690), (420, 712), (520, 716)));
    keel.extend([(760, 716), (800, 640), (860, 600)]);
    sheet.flat(&keel, BOTTOM);
    sheet.outline(&keel);
    let rudder = [(930, 590), (984, 570), (976, 706), (912, 706)];
    sheet.flat(&rudder, BOTTOM);
    sheet.outline(&rudder);
    let mut body = curve((128, 372), (380, 420), (760, 420), (1040, 378));
    body.extend(curve((1040, 378), (1030, 450), (1010, 520), (990, 566)));
    body.extend(curve((990, 566), (760, 640), (420, 640), (236, 560)));
    body.extend(curve((236, 560), (190, 500), (150, 440), (128, 372)));
    sheet.flat(&body, TOPSIDES);
    sheet.wash(&body, [0xC8, 0xC4, 0xB4], 60);
    let mut wet = curve((222, 540), (420, 566), (760, 566), (1004, 532));
    wet.extend(curve((990, 566), (760, 640), (420, 640), (236, 560)));
    sheet.flat(&wet, BOTTOM);
    sheet.hatch(&wet, (9, 4), (3, -9), 16, [0x5E, 0x2A, 0x22]);
    sheet.outline(&body);
    sheet.line(
        &curve((222, 540), (420, 566), (760, 566), (1004, 532)),
        40,
        INK,
    );
    sheet.line(
        &curve((136, 392), (384, 440), (760, 440), (1037, 398)),
        22,
        HOUSE,
    );
    sheet.hatch(
        &[(620, 440), (1036, 400), (1006, 530), (640, 562)],
        (9, 1),
        (1, 13),
        12,
        PENCIL,
    );
}

/// The wood-framed house with its windows, and the rail.
fn house(sheet: &mut Sheet) {
    let side = [(420, 408), (440, 342), (768, 342), (792, 408)];
    sheet.flat(&side, HOUSE);
    sheet.wash(&side, [0x8F, 0x5A, 0x30], 60);
    sheet.outline(&side);
    let roof = [(428, 342), (436, 326), (776, 326), (786, 342)];
    sheet.flat(&roof, [0xEA, 0xE4, 0xD2]);
    sheet.outline(&roof);
    for x in [462, 544, 626, 702] {
        let window = rounded(&[(x, 392), (x + 4, 354), (x + 58, 354), (x + 60, 392)]);
        sheet.flat(&window, [0x5F, 0x77, 0x7E]);
        sheet.outline(&window);
        sheet.line(&[(x + 40, 358), (x + 18, 388)], 16, [0xDD, 0xE6, 0xE6]);
    }
    let cockpit = [(792, 408), (800, 366), (960, 362), (980, 390)];
    sheet.wash(&cockpit, [0xD2, 0xC8, 0xAE], 210);
    sheet.outline(&cockpit);
    for (x, foot) in [
        (180, 382),
        (280, 396),
        (380, 408),
        (860, 398),
        (940, 392),
        (1010, 384),
    ] {
        sheet.line(&[(x, foot), (x, foot - 52)], 30, INK);
    }
    sheet.line(
        &[(140, 326), (180, 330), (280, 344), (380, 356), (430, 358)],
        16,
        INK,
    );
    sheet.line(&[(796, 350), (860, 346), (940, 340), (1010, 332)], 16, INK);
    sheet.line(
        &curve((130, 372), (116, 340), (124, 322), (142, 326)),
        30,
        INK,
    );
}

/// Blocks under the keel, props along the side, a ladder and a person for the size.
fn props(sheet: &mut Sheet) {
    for x in [440, 560, 690] {
        for (row, y) in [(0, 716), (1, 744)] {
            let block = [
                (x - 34 + row * 6, y),
                (x + 34 - row * 6, y),
                (x + 34 - row * 6, y + 28),
                (x - 34 + row * 6, y + 28),
            ];
            sheet.flat(&block, TIMBER);
            sheet.outline(&block);
            sheet.line(&[(x - 24, y + 10), (x + 22, y + 12)], 12, INK);
            sheet.line(&[(x - 20, y + 19), (x + 24, y + 20)], 12, INK);
        }
    }
    for (foot, head) in [((250, 790), (330, 560)), ((880, 790), (820, 580))] {
        sheet.line(&[foot, head], 180, INK);
        sheet.line(&[foot, head], 124, TIMBER);
        let pad = ellipse((head.0, head.1 - 4), (26, 12));
        sheet.flat(&pad, TIMBER);
        sheet.outline(&pad);
    }
    for x in [1040, 1084] {
        sheet.line(&[(x, 772), (x - 26, 350)], 70, INK);
        sheet.line(&[(x, 772), (x - 26, 350)], 36, TIMBER);
    }
    for i in 0..10 {
        let y = 750 - i * 42;
        let x = 1040 - i * 26 / 10;
        sheet.line(&[(x, y), (x + 42, y)], 44, INK);
    }
    // Somebody with a bucket.
    sheet.flat(&ellipse((140, 588), (17, 19)), [0xC9, 0x9E, 0x80]);
    sheet.outline(&ellipse((140, 588), (17, 19)));
    let coat = [(118, 612), (162, 612), (172, 704), (110, 704)];
    sheet.flat(&coat, [0x4E, 0x66, 0x7A]);
    sheet.outline(&coat);
    sheet.hatch(&coat, (2, 9), (9, 0), 14, INK);
    for legs in [
        [(116, 704), (138, 704), (134, 786), (112, 786)],
        [(144, 704), (168, 704), (172, 786), (150, 786)],
    ] {
        sheet.flat(&legs, [0x5A, 0x50, 0x46]);
        sheet.outline(&legs);
    }
    sheet.line(&[(164, 624), (188, 690)], 90, INK);
    let bucket = [(172, 712), (214, 710), (208, 754), (178, 754)];
    sheet.ink(&curve((174, 712), (180, 684), (206, 684), (212, 710)));
    sheet.flat(&bucket, [0xB2, 0x8A, 0x3E]);
    sheet.outline(&bucket);
    sheet.hatch(
        &[(110, 786), (176, 786), (240, 800), (150, 802)],
        (9, 1),
        (1, 4),
        14,
        INK,
    );
    sheet.line(&[(60, 790), (1160, 790)], 16, PENCIL);
}

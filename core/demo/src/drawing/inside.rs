//! Below deck: a window's corner, the bilge, and what lies behind a tank.

use super::sheet::{Colour, INK, PENCIL, Sheet, curve, ellipse, rounded};

const PANEL: Colour = [0xC0, 0x8A, 0x54];
const FRAME: Colour = [0x8F, 0x5A, 0x30];
const GLASS: Colour = [0xA9, 0xC1, 0xC8];
const STAIN: Colour = [0x4E, 0x30, 0x1C];
const SHELF: Colour = [0xA8, 0x78, 0x48];
const RUST: Colour = [0xA3, 0x4E, 0x24];
const HULL: Colour = [0xD9, 0xD2, 0xB8];
const STEEL: Colour = [0xC4, 0xC9, 0xCA];

/// The corner with the water's trace.
pub(super) fn window_stained(sheet: &mut Sheet) {
    window(sheet, 150);
    let mut ran = curve((262, 470), (230, 560), (300, 620), (250, 742));
    ran.extend(curve((420, 742), (380, 640), (420, 560), (392, 478)));
    sheet.wash(&ran, STAIN, 120);
    let mut heart = curve((292, 480), (270, 560), (322, 640), (300, 742));
    heart.extend(curve((366, 742), (350, 650), (372, 560), (356, 480)));
    sheet.wash(&heart, STAIN, 110);
    sheet.hatch(&heart, (1, 9), (9, 1), 18, STAIN);
    sheet.wash(&ellipse((330, 756), (130, 20)), STAIN, 150);
    // The varnish has let go.
    for (x, y) in [
        (436, 560),
        (446, 620),
        (232, 600),
        (226, 660),
        (410, 700),
        (440, 690),
    ] {
        sheet.flat(&ellipse((x, y), (14, 9)), [0xDE, 0xC4, 0x98]);
        sheet.line(&ellipse((x, y), (14, 9)), 16, STAIN);
    }
    for (x, y) in [(300, 772), (348, 776), (390, 770)] {
        sheet.flat(&ellipse((x, y), (8, 5)), [0xCF, 0xDD, 0xE0]);
        sheet.line(&ellipse((x, y), (8, 5)), 16, INK);
    }
}

/// The same corner afterwards.
pub(super) fn window_dry(sheet: &mut Sheet) {
    window(sheet, 210);
    // The varnish shines.
    sheet.line(
        &curve((200, 540), (240, 600), (236, 680), (226, 728)),
        60,
        [0xE9, 0xCB, 0x9C],
    );
    sheet.line(
        &curve((620, 560), (650, 610), (648, 680), (640, 720)),
        40,
        [0xE9, 0xCB, 0x9C],
    );
}

/// The panelling, the window and the shelf beneath.
fn window(sheet: &mut Sheet, varnish: i32) {
    sheet.wash(&[(0, 0), (1200, 0), (1200, 900), (0, 900)], PANEL, varnish);
    for i in 0..9 {
        let x = 60 + i * 140;
        sheet.line(&[(x, 0), (x + 4, 760)], 22, FRAME);
        sheet.line(
            &curve((x + 46, 0), (x + 60, 240), (x + 30, 480), (x + 52, 760)),
            12,
            FRAME,
        );
        sheet.line(
            &curve((x + 96, 0), (x + 84, 200), (x + 110, 520), (x + 92, 760)),
            12,
            FRAME,
        );
    }
    let outer = rounded(&[(210, 80), (1010, 60), (1020, 470), (220, 490)]);
    sheet.flat(&outer, FRAME);
    sheet.outline(&outer);
    sheet.hatch(&outer, (1, 0), (0, 9), 14, [0x6A, 0x3F, 0x1E]);
    let inner = rounded(&[(268, 132), (954, 116), (962, 416), (276, 434)]);
    sheet.flat(&inner, GLASS);
    let mut trees = curve((276, 360), (420, 300), (620, 340), (960, 300));
    trees.extend([(960, 410), (276, 428)]);
    sheet.wash(&trees, [0x7F, 0x96, 0x8C], 190);
    sheet.line(
        &curve((276, 360), (420, 300), (620, 340), (958, 302)),
        20,
        PENCIL,
    );
    for x in [330, 380, 700] {
        sheet.line(&[(x + 120, 150), (x, 400)], 16, [0xE4, 0xEE, 0xF0]);
    }
    sheet.outline(&inner);
    for at in [
        (240, 110),
        (610, 96),
        (984, 92),
        (246, 458),
        (620, 450),
        (992, 440),
    ] {
        sheet.flat(&ellipse(at, (9, 9)), [0xD8, 0xBE, 0x7E]);
        sheet.outline(&ellipse(at, (9, 9)));
        sheet.line(&[(at.0 - 5, at.1 - 4), (at.0 + 5, at.1 + 4)], 20, INK);
    }
    // The shelf.
    let top = [(0, 742), (1200, 724), (1200, 790), (0, 812)];
    sheet.flat(&top, SHELF);
    sheet.wash(&top, PANEL, 90);
    sheet.outline(&top);
    let front = [(0, 812), (1200, 790), (1200, 840), (0, 840)];
    sheet.flat(&front, FRAME);
    sheet.hatch(&front, (9, 1), (0, 6), 18, INK);
    // A mug and a folded chart show the size.
    let mug = [(844, 752), (938, 750), (930, 640), (852, 642)];
    sheet.flat(&mug, [0xDD, 0xDA, 0xCE]);
    sheet.wash(
        &[(900, 751), (938, 750), (930, 640), (896, 641)],
        [0x8E, 0x98, 0x9C],
        130,
    );
    sheet.outline(&mug);
    sheet.flat(&ellipse((891, 641), (39, 10)), [0x54, 0x3A, 0x2A]);
    sheet.outline(&ellipse((891, 641), (39, 10)));
    sheet.line(
        &curve((934, 664), (978, 660), (976, 724), (932, 722)),
        80,
        INK,
    );
    sheet.line(
        &curve((934, 664), (978, 660), (976, 724), (932, 722)),
        40,
        [0xDD, 0xDA, 0xCE],
    );
    let chart = [(1000, 768), (1190, 764), (1170, 738), (1010, 742)];
    sheet.flat(&chart, [0xEF, 0xEC, 0xE0]);
    sheet.outline(&chart);
    sheet.line(
        &curve((1030, 758), (1070, 746), (1110, 764), (1160, 748)),
        16,
        [0x5F, 0x86, 0x9A],
    );
}

/// The hose with its rusted clip, water below.
pub(super) fn bilge_rusted(sheet: &mut Sheet) {
    bilge(sheet);
    let mut water = curve((330, 742), (480, 716), (720, 756), (872, 738));
    water.extend(curve((800, 830), (700, 850), (480, 850), (400, 826)));
    sheet.wash(&water, [0x5F, 0x74, 0x74], 200);
    for (x, y) in [(440, 766), (560, 790), (690, 772), (520, 814), (650, 820)] {
        sheet.line(&[(x, y), (x + 70, y + 2)], 18, [0xD5, 0xDF, 0xDC]);
    }
    sheet.wash(&ellipse((610, 744), (90, 16)), [0xB8, 0x8A, 0xA4], 90);
    clip(sheet, 742, RUST);
    sheet.wash(&ellipse((742, 470), (38, 86)), RUST, 140);
    let mut weep = curve((726, 546), (716, 620), (734, 660), (722, 740));
    weep.extend(curve((742, 740), (752, 660), (744, 620), (756, 546)));
    sheet.wash(&weep, RUST, 170);
    for (x, y) in [(724, 600), (736, 650), (728, 700)] {
        sheet.flat(&ellipse((x, y), (6, 10)), [0xCF, 0xDD, 0xE0]);
        sheet.line(&ellipse((x, y), (6, 10)), 16, INK);
    }
}

/// The same with two new clips and a dry bilge.
pub(super) fn bilge_mended(sheet: &mut Sheet) {
    bilge(sheet);
    clip(sheet, 716, STEEL);
    clip(sheet, 768, STEEL);
    let mut limber = curve((470, 806), (540, 790), (660, 792), (740, 806));
    limber.extend(curve((740, 806), (680, 838), (540, 840), (470, 806)));
    sheet.wash(&limber, [0xB4, 0xA8, 0x86], 140);
}

/// Hull, frames, seacock and hose.
fn bilge(sheet: &mut Sheet) {
    sheet.wash(&[(0, 0), (1200, 0), (1200, 900), (0, 900)], HULL, 230);
    sheet.hatch(
        &[(0, 0), (330, 0), (480, 840), (0, 840)],
        (4, 9),
        (23, -8),
        14,
        PENCIL,
    );
    sheet.hatch(
        &[(1200, 0), (900, 0), (760, 840), (1200, 840)],
        (-4, 9),
        (17, 6),
        16,
        PENCIL,
    );
    // Two floors across, in section.
    for (y, deep) in [(150, 70), (560, 84)] {
        let floor = [
            (60 + y / 6, y),
            (1140 - y / 6, y),
            (1120 - y / 6, y + deep),
            (80 + y / 6, y + deep),
        ];
        sheet.flat(&floor, [0xB9, 0x96, 0x66]);
        sheet.wash(&floor, [0x8A, 0x66, 0x3E], 80);
        sheet.outline(&floor);
        for i in 0..4 {
            sheet.line(
                &[
                    (90 + y / 6, y + 14 + i * 16),
                    (1110 - y / 6, y + 12 + i * 16),
                ],
                12,
                [0x7A, 0x58, 0x34],
            );
        }
    }
    sheet.line(
        &curve((150, 840), (420, 700), (780, 700), (1050, 840)),
        24,
        PENCIL,
    );
    // The hose: a thick curve, twice.
    let hose = {
        let mut line = curve((60, 330), (240, 260), (430, 300), (560, 420));
        line.extend(curve((560, 420), (620, 470), (700, 470), (860, 470)));
        line
    };
    sheet.line(&hose, 96 * 16, INK);
    sheet.line(&hose, 90 * 16, [0x55, 0x5B, 0x5C]);
    sheet.line(&hose, 26 * 16, [0x7C, 0x84, 0x84]);
    for i in 0..9 {
        let x = 96 + i * 46;
        let y = 318 - i * 7 + i * i * 2;
        sheet.line(
            &curve(
                (x, y - 46),
                (x + 20, y - 14),
                (x + 20, y + 20),
                (x + 2, y + 46),
            ),
            14,
            INK,
        );
    }
    // The seacock.
    let body = [(820, 400), (960, 390), (960, 550), (820, 540)];
    sheet.flat(&body, [0xC8, 0x9C, 0x4E]);
    sheet.wash(
        &[(820, 480), (960, 480), (960, 550), (820, 540)],
        [0x7C, 0x56, 0x22],
        140,
    );
    sheet.outline(&body);
    let flange = [(960, 350), (1010, 344), (1010, 596), (960, 590)];
    sheet.flat(&flange, [0xB8, 0x8A, 0x3E]);
    sheet.outline(&flange);
    sheet.hatch(&flange, (1, 9), (7, 0), 18, INK);
    let lever = [(870, 396), (904, 394), (930, 236), (904, 230)];
    sheet.flat(&lever, [0xA8, 0x36, 0x2A]);
    sheet.outline(&lever);
    sheet.flat(&ellipse((888, 412), (26, 20)), [0xD8, 0xB0, 0x60]);
    sheet.outline(&ellipse((888, 412), (26, 20)));
}

/// A hose clip with its screw.
fn clip(sheet: &mut Sheet, x: i32, metal: Colour) {
    let band = [(x - 17, 417), (x + 17, 417), (x + 17, 523), (x - 17, 523)];
    sheet.flat(&band, metal);
    sheet.outline(&band);
    for i in 0..6 {
        sheet.line(&[(x - 9, 430 + i * 16), (x + 9, 434 + i * 16)], 20, INK);
    }
    let screw = [(x - 22, 396), (x + 22, 396), (x + 22, 420), (x - 22, 420)];
    sheet.flat(&screw, metal);
    sheet.outline(&screw);
    sheet.line(&[(x - 16, 408), (x + 16, 408)], 26, INK);
}

/// The tank, the torch's light on it, and the dark behind.
pub(super) fn behind_tank(sheet: &mut Sheet) {
    sheet.wash(
        &[(0, 0), (1200, 0), (1200, 900), (0, 900)],
        [0x6A, 0x62, 0x58],
        220,
    );
    // Torchlight.
    let light = [(40, 840), (560, 840), (846, 700), (846, 130), (420, 100)];
    sheet.wash(&light, [0xF2, 0xE6, 0xC2], 150);
    // The gap that nothing reaches into.
    let gap = [(846, 60), (1160, 40), (1160, 800), (846, 760)];
    sheet.flat(&gap, [0x26, 0x23, 0x22]);
    sheet.hatch(&gap, (3, 7), (13, -4), 22, [0x4A, 0x44, 0x40]);
    sheet.outline(&gap);
    // Hull ribs that vanish in it.
    for i in 0..4 {
        let y = 140 + i * 170;
        sheet.line(
            &curve((860, y), (940, y - 20), (1040, y + 10), (1150, y + 40)),
            70,
            [0x3C, 0x36, 0x32],
        );
    }
    let tank = [(150, 210), (846, 150), (846, 700), (150, 760)];
    sheet.flat(&tank, [0xB2, 0xB8, 0xB4]);
    sheet.wash(
        &[(150, 210), (520, 180), (420, 738), (150, 760)],
        [0xE4, 0xE2, 0xCC],
        150,
    );
    sheet.hatch(
        &[(620, 170), (846, 150), (846, 700), (560, 726)],
        (2, 9),
        (15, -3),
        18,
        INK,
    );
    sheet.outline(&tank);
    for y in [300, 420, 540, 650] {
        sheet.line(&[(152, y + 20), (844, y - 38)], 22, PENCIL);
    }
    // Straps and the filling pipe.
    for x in [290, 690] {
        let strap = [
            (x, 200 - (x - 150) / 12),
            (x + 44, 196 - (x - 150) / 12),
            (x + 44, 748 - (x - 150) / 12),
            (x, 752 - (x - 150) / 12),
        ];
        sheet.flat(&strap, [0x7C, 0x70, 0x5E]);
        sheet.outline(&strap);
    }
    sheet.line(
        &curve((480, 180), (480, 90), (560, 70), (640, 30)),
        52 * 16,
        INK,
    );
    sheet.line(
        &curve((480, 180), (480, 90), (560, 70), (640, 30)),
        46 * 16,
        [0x50, 0x54, 0x56],
    );
    sheet.flat(&ellipse((480, 184), (50, 16)), [0xC8, 0xCC, 0xC8]);
    sheet.outline(&ellipse((480, 184), (50, 16)));
    // How far an arm with a mirror came.
    sheet.line(&[(846, 430), (932, 436)], 40, [0xF0, 0xE2, 0xB0]);
    sheet.line(
        &[(916, 424), (934, 436), (914, 448)],
        40,
        [0xF0, 0xE2, 0xB0],
    );
    sheet.write((960, 404), 12, 60, [0xF0, 0xE2, 0xB0], "?");
    sheet.wash(
        &[(0, 776), (1200, 800), (1200, 900), (0, 900)],
        [0x4A, 0x3C, 0x30],
        200,
    );
    sheet.ink(&[(0, 776), (1200, 800)]);
    for i in 0..8 {
        sheet.line(&[(i * 160, 780 + i * 3), (i * 160 - 40, 900)], 18, INK);
    }
}

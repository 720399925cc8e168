//! On deck: a chainplate, and a patch that an earlier owner laid.

use super::sheet::{Colour, INK, PENCIL, Sheet, curve, ellipse, rounded};

const DECK: Colour = [0xD9, 0xCF, 0xB4];
const STEEL: Colour = [0xC8, 0xCD, 0xCE];
const SHADE: Colour = [0x82, 0x88, 0x8A];
const RUST: Colour = [0xA3, 0x4E, 0x24];
const TEAK: Colour = [0xA8, 0x72, 0x42];

/// Rust weeps from under the cover plate.
pub(super) fn chainplate_weeping(sheet: &mut Sheet) {
    ground(sheet);
    let mut weep = curve((452, 628), (420, 690), (470, 740), (440, 840));
    weep.extend(curve((600, 840), (560, 740), (610, 690), (580, 634)));
    sheet.wash(&weep, RUST, 130);
    sheet.wash(&ellipse((566, 640), (240, 64)), RUST, 90);
    plate(sheet, true);
    for crack in [
        vec![(388, 640), (340, 656), (316, 690), (270, 704)],
        vec![(340, 656), (300, 648)],
        vec![(756, 626), (808, 644), (842, 640)],
    ] {
        sheet.line(&crack, 26, INK);
    }
    sheet.wash(&ellipse((566, 470), (30, 120)), RUST, 120);
    sheet.hatch(&ellipse((560, 560), (34, 44)), (5, 3), (2, 7), 16, RUST);
}

/// The plate renewed, its bedding squeezed out evenly.
pub(super) fn chainplate_renewed(sheet: &mut Sheet) {
    ground(sheet);
    sheet.flat(
        &rounded(&[(360, 650), (392, 572), (760, 566), (800, 640)]),
        [0x46, 0x48, 0x48],
    );
    plate(sheet, false);
}

/// Deck, rail and the yard beyond.
fn ground(sheet: &mut Sheet) {
    sheet.wash(
        &[(0, 0), (1200, 0), (1200, 320), (0, 320)],
        [0xCB, 0xD6, 0xD8],
        130,
    );
    let mut shed = vec![(60, 320), (60, 190), (200, 130), (340, 186), (340, 320)];
    sheet.wash(&shed, [0xB2, 0x86, 0x74], 120);
    shed.push((60, 320));
    sheet.line(&shed, 22, PENCIL);
    sheet.line(
        &[(150, 320), (150, 236), (250, 236), (250, 320)],
        20,
        PENCIL,
    );
    let mut hedge = curve((330, 300), (520, 240), (760, 270), (1200, 250));
    hedge.extend([(1200, 330), (330, 330)]);
    sheet.wash(&hedge, [0x93, 0xA5, 0x9A], 140);
    sheet.wash(&[(0, 400), (1200, 360), (1200, 900), (0, 900)], DECK, 236);
    sheet.stipple(
        &[(40, 500), (1160, 470), (1160, 830), (40, 830)],
        13,
        26,
        [0xA8, 0x9C, 0x78],
    );
    let rail = [(0, 330), (1200, 292), (1200, 366), (0, 408)];
    sheet.flat(&rail, TEAK);
    sheet.wash(
        &[(0, 372), (1200, 332), (1200, 366), (0, 408)],
        [0x5C, 0x38, 0x1C],
        130,
    );
    sheet.outline(&rail);
    sheet.hatch(
        &[(0, 378), (1200, 338), (1200, 366), (0, 408)],
        (30, -1),
        (0, 6),
        14,
        INK,
    );
    sheet.line(&[(0, 486), (1200, 450)], 20, PENCIL);
}

/// The strap, its cover plate, the pin and the rigging screw.
fn plate(sheet: &mut Sheet, tired: bool) {
    let cover = rounded(&[(378, 640), (410, 580), (748, 574), (784, 630)]);
    sheet.flat(&cover, STEEL);
    sheet.outline(&cover);
    for at in [(424, 612), (500, 624), (640, 620), (726, 604)] {
        sheet.flat(&ellipse(at, (13, 8)), SHADE);
        sheet.outline(&ellipse(at, (13, 8)));
        sheet.line(&[(at.0 - 7, at.1 - 3), (at.0 + 7, at.1 + 3)], 22, INK);
    }
    let strap = [
        (540, 604),
        (596, 602),
        (590, 372),
        (576, 346),
        (558, 346),
        (544, 374),
    ];
    sheet.flat(&strap, STEEL);
    sheet.outline(&strap);
    sheet.hatch(
        &[(576, 604), (596, 602), (590, 372), (578, 350)],
        (1, 9),
        (5, 0),
        14,
        SHADE,
    );
    // The fork, its pin and the screw above.
    let fork = [
        (546, 400),
        (590, 400),
        (606, 300),
        (598, 210),
        (538, 210),
        (530, 300),
    ];
    sheet.flat(&fork, if tired { [0xB4, 0xB2, 0xA8] } else { STEEL });
    sheet.outline(&fork);
    sheet.flat(&ellipse((568, 376), (17, 17)), SHADE);
    sheet.outline(&ellipse((568, 376), (17, 17)));
    sheet.ink(&curve((584, 384), (606, 392), (612, 408), (600, 420)));
    let barrel = [(546, 214), (590, 214), (592, 60), (544, 60)];
    sheet.flat(&barrel, STEEL);
    sheet.outline(&barrel);
    sheet.flat(&ellipse((568, 140), (10, 40)), [0x9C, 0xB0, 0xB4]);
    sheet.outline(&ellipse((568, 140), (10, 40)));
    for i in 0..6 {
        sheet.line(&[(548, 200 - i * 9), (590, 206 - i * 9)], 14, INK);
    }
    let wire = [(560, 60), (578, 60), (576, 0), (562, 0)];
    sheet.flat(&wire, SHADE);
    sheet.outline(&wire);
    // Its shadow on the deck.
    sheet.hatch(
        &[
            (600, 604),
            (760, 700),
            (900, 730),
            (884, 744),
            (740, 716),
            (560, 630),
        ],
        (9, 4),
        (2, 6),
        18,
        INK,
    );
}

/// The patch has lifted along one edge.
pub(super) fn patch_lifting(sheet: &mut Sheet) {
    foredeck(sheet);
    let damp = ellipse((600, 612), (330, 150));
    sheet.wash(&damp, [0x8A, 0x6A, 0x44], 90);
    let patch = [(352, 690), (836, 700), (792, 520), (420, 508)];
    sheet.flat(&patch, [0xC9, 0xB3, 0x72]);
    sheet.wash(&patch, [0xA0, 0x82, 0x3C], 110);
    // The cloth shows.
    sheet.hatch(&patch, (9, 2), (2, 11), 12, [0x86, 0x6C, 0x34]);
    sheet.hatch(&patch, (4, -9), (12, 3), 12, [0x86, 0x6C, 0x34]);
    sheet.outline(&patch);
    // The lifted edge and the dark under it.
    let mut dark = curve((352, 690), (480, 736), (640, 748), (836, 700));
    dark.extend(curve((836, 700), (680, 700), (520, 700), (352, 690)));
    sheet.flat(&dark, [0x2C, 0x22, 0x1A]);
    sheet.ink(&curve((352, 690), (480, 736), (640, 748), (836, 700)));
    for crack in [
        vec![(470, 520), (492, 566), (478, 604), (500, 650)],
        vec![(700, 520), (690, 560), (716, 600), (704, 640), (724, 690)],
        vec![(492, 566), (540, 580), (580, 572)],
    ] {
        sheet.line(&crack, 28, INK);
    }
    for (x, y) in [(430, 742), (520, 760), (610, 766), (700, 754)] {
        sheet.flat(&ellipse((x, y), (7, 10)), [0xB9, 0xC6, 0xC4]);
        sheet.line(&ellipse((x, y), (7, 10)), 16, INK);
    }
    sheet.write((860, 600), 6, 44, [0x2F, 0x5F, 0x94], "WET");
}

/// Sealed all round for the season.
pub(super) fn patch_sealed(sheet: &mut Sheet) {
    foredeck(sheet);
    let outer = [(322, 716), (868, 726), (816, 494), (396, 482)];
    sheet.flat(&outer, [0x7A, 0x80, 0x80]);
    sheet.outline(&outer);
    sheet.hatch(&outer, (5, 2), (2, 9), 12, [0x52, 0x58, 0x58]);
    let patch = [(362, 690), (826, 698), (784, 526), (424, 514)];
    sheet.flat(&patch, [0xC9, 0xB3, 0x72]);
    sheet.wash(&patch, [0xA0, 0x82, 0x3C], 80);
    sheet.outline(&patch);
    sheet.write((452, 586), 6, 44, INK, "TEMPORARY");
}

/// The foredeck with its hatch, looking forward.
fn foredeck(sheet: &mut Sheet) {
    sheet.wash(
        &[(0, 0), (1200, 0), (1200, 300), (0, 300)],
        [0xCB, 0xD6, 0xD8],
        130,
    );
    let mut far = curve((0, 240), (300, 200), (800, 230), (1200, 190));
    far.extend([(1200, 330), (0, 330)]);
    sheet.wash(&far, [0x93, 0xA5, 0x9A], 120);
    sheet.wash(
        &[(0, 322), (1200, 322), (1200, 900), (0, 900)],
        [0xA9, 0x9F, 0x8A],
        120,
    );
    let mut bow = curve((20, 900), (180, 480), (400, 240), (600, 150));
    bow.extend(curve((600, 150), (800, 240), (1020, 480), (1180, 900)));
    sheet.wash(&bow, DECK, 240);
    sheet.stipple(&bow, 13, 26, [0xA8, 0x9C, 0x78]);
    for inset in [0, 26] {
        let width = if inset == 0 { 120 } else { 24 };
        sheet.line(
            &curve(
                (20 + inset, 900),
                (180 + inset, 480),
                (400 + inset, 240 + inset),
                (600, 150 + inset),
            ),
            width,
            INK,
        );
        sheet.line(
            &curve(
                (600, 150 + inset),
                (800 - inset, 240 + inset),
                (1020 - inset, 480),
                (1180 - inset, 900),
            ),
            width,
            INK,
        );
    }
    // The pulpit.
    sheet.line(
        &curve((300, 330), (330, 120), (480, 70), (600, 60)),
        60,
        INK,
    );
    sheet.line(
        &curve((600, 60), (720, 70), (870, 120), (900, 330)),
        60,
        INK,
    );
    sheet.line(&[(470, 216), (462, 86)], 44, INK);
    sheet.line(&[(730, 216), (738, 86)], 44, INK);
    let hatch = rounded(&[(466, 440), (744, 444), (716, 296), (492, 294)]);
    sheet.flat(&hatch, TEAK);
    sheet.outline(&hatch);
    let pane = rounded(&[(500, 418), (712, 420), (690, 318), (516, 316)]);
    sheet.flat(&pane, [0x77, 0x8E, 0x94]);
    sheet.outline(&pane);
    sheet.hatch(&pane, (4, -7), (19, 6), 16, [0xDD, 0xE6, 0xE6]);
    // The mooring cleat.
    sheet.line(&[(560, 250), (640, 250)], 200, INK);
    sheet.line(&[(566, 249), (634, 249)], 110, STEEL);
}

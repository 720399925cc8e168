//! The side deck, seen aft along it from the same spot in five states.

use super::sheet::{Colour, INK, PENCIL, Sheet, curve, ellipse};

/// How far the work has come.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum State {
    Found,
    Opened,
    Prepared,
    Rebuilt,
    Finished,
}

const SKY: Colour = [0xC9, 0xD6, 0xDA];
const HILL: Colour = [0x93, 0xA5, 0x9A];
const OLD_DECK: Colour = [0xD3, 0xC6, 0xA4];
const NEW_DECK: Colour = [0xB9, 0xC9, 0xC4];
const HOUSE: Colour = [0xE9, 0xE0, 0xC8];
const GLASS: Colour = [0x6E, 0x85, 0x8C];
const TEAK: Colour = [0xA8, 0x72, 0x42];
const WET: Colour = [0x5A, 0x38, 0x1E];
const ROT: Colour = [0x34, 0x22, 0x16];
const INNER: Colour = [0xE4, 0xD9, 0xA8];
const PLY: Colour = [0xDD, 0xB4, 0x78];
const RUST: Colour = [0xA3, 0x4E, 0x24];
const CHALK: Colour = [0x2F, 0x5F, 0x94];

/// The opening's corners: near left, near right, far right, far left.
const OPENING: [(i32, i32); 4] = [(318, 752), (792, 748), (716, 478), (444, 482)];

/// Draws the deck in one of its states.
pub(super) fn side_deck(sheet: &mut Sheet, state: State) {
    surroundings(sheet, state);
    match state {
        State::Found => found(sheet),
        State::Opened => opened(sheet),
        State::Prepared => prepared(sheet),
        State::Rebuilt => rebuilt(sheet),
        State::Finished => {}
    }
    stanchion(sheet, state);
}

/// The yard, the rail, the house side and the deck itself.
fn surroundings(sheet: &mut Sheet, state: State) {
    sheet.wash(&[(0, 0), (1200, 0), (1200, 300), (0, 300)], SKY, 120);
    let mut hill = curve((0, 236), (160, 150), (330, 190), (620, 224));
    hill.extend([(620, 300), (0, 300)]);
    sheet.wash(&hill, HILL, 130);
    sheet.ink(&curve((0, 236), (160, 150), (330, 190), (560, 220)));
    sheet.wash(
        &[(0, 290), (560, 236), (560, 300), (60, 900), (0, 900)],
        [0xA9, 0x9F, 0x8A],
        110,
    );
    for y in 0..7 {
        sheet.line(
            &[(0, 330 + y * 62), (330 - y * 40, 300 + y * 52)],
            18,
            PENCIL,
        );
    }
    // The deck.
    let deck = [(116, 840), (1130, 840), (742, 236), (548, 236)];
    let colour = if state == State::Finished {
        NEW_DECK
    } else {
        OLD_DECK
    };
    sheet.wash(&deck, colour, 236);
    // Non-skid, with smooth margins.
    let panel = [(226, 826), (1010, 826), (712, 262), (566, 262)];
    let grit = if state == State::Finished {
        [0x86, 0x99, 0x95]
    } else {
        [0xA3, 0x94, 0x6C]
    };
    sheet.stipple(&panel, 11, 26, grit);
    sheet.line(
        &[(226, 826), (566, 262), (712, 262), (1010, 826)],
        22,
        PENCIL,
    );
    // The toe rail.
    let rail = [(60, 840), (116, 840), (548, 236), (530, 232)];
    sheet.wash(&rail, TEAK, 210);
    sheet.outline(&rail);
    sheet.hatch(
        &[(60, 840), (84, 840), (540, 234), (530, 232)],
        (10, -13),
        (5, 2),
        16,
        INK,
    );
    // The house.
    let side = [(1130, 840), (742, 236), (742, 96), (1200, 40), (1200, 840)];
    sheet.wash(&side, HOUSE, 236);
    sheet.ink(&[(742, 236), (742, 96), (1200, 40)]);
    sheet.ink(&[(742, 236), (1130, 840)]);
    sheet.line(&[(752, 222), (1146, 800)], 20, PENCIL);
    let shade = [
        (1130, 840),
        (742, 236),
        (742, 206),
        (1200, 790),
        (1200, 840),
    ];
    sheet.hatch(&shade, (3, 5), (9, -2), 18, INK);
    for window in [
        [(796, 200), (890, 236), (890, 118), (796, 128)],
        [(930, 262), (1120, 380), (1120, 92), (930, 112)],
    ] {
        sheet.wash(&window, GLASS, 190);
        sheet.outline(&window);
        sheet.hatch(&window, (4, -9), (17, 4), 14, [0xE6, 0xEC, 0xEA]);
    }
    sheet.ink(&[(116, 840), (548, 236), (742, 236)]);
    // Far stanchions and the guard wires.
    for (foot, height) in [((512, 274), 118), ((536, 244), 76)] {
        sheet.line(&[foot, (foot.0 - 2, foot.1 - height)], 52, INK);
    }
    sheet.line(
        &[(26, 30), (236, 96), (510, 158), (534, 168), (742, 150)],
        26,
        INK,
    );
    sheet.line(&[(26, 330), (244, 306), (511, 216), (742, 190)], 22, INK);
}

/// The stanchion with its foot; while the deck is open it is off and its four holes stay.
fn stanchion(sheet: &mut Sheet, state: State) {
    let plate = ellipse((250, 642), (66, 30));
    if matches!(state, State::Prepared | State::Rebuilt) {
        if state == State::Rebuilt {
            for at in [(216, 634), (284, 634), (222, 656), (280, 656)] {
                sheet.wash(&ellipse(at, (11, 7)), [0xC9, 0x7F, 0x56], 230);
                sheet.outline(&ellipse(at, (11, 7)));
            }
        } else {
            for at in [(216, 634), (284, 634), (222, 656), (280, 656)] {
                sheet.flat(&ellipse(at, (9, 6)), INK);
            }
        }
        sheet.line(&plate, 16, PENCIL);
        return;
    }
    let metal = [0xC4, 0xC9, 0xCA];
    if state == State::Finished {
        // The bedding, squeezed out and trimmed.
        sheet.flat(&ellipse((250, 645), (74, 35)), [0x4A, 0x4C, 0x4B]);
    } else {
        sheet.wash(&ellipse((250, 648), (80, 38)), RUST, 150);
    }
    sheet.flat(&plate, metal);
    sheet.outline(&plate);
    for at in [(210, 638), (290, 638), (218, 655), (284, 655)] {
        sheet.flat(&ellipse(at, (6, 4)), [0x70, 0x74, 0x76]);
    }
    let post = [(236, 640), (264, 640), (252, 62), (230, 62)];
    sheet.flat(&post, metal);
    sheet.outline(&post);
    sheet.hatch(
        &[(252, 640), (264, 640), (252, 62), (243, 62)],
        (1, -14),
        (4, 0),
        14,
        [0x80, 0x86, 0x88],
    );
    sheet.flat(&ellipse((250, 640), (22, 10)), metal);
    sheet.outline(&ellipse((250, 640), (22, 10)));
    sheet.flat(&ellipse((241, 62), (13, 8)), metal);
    sheet.outline(&ellipse((241, 62), (13, 8)));
}

/// Cracks from the foot, a stain that ran aft, and the dull area in chalk.
fn found(sheet: &mut Sheet) {
    let mut stain = curve((286, 634), (420, 560), (520, 600), (640, 520));
    stain.extend(curve((640, 520), (560, 690), (420, 700), (286, 668)));
    sheet.wash(&stain, [0x9A, 0x72, 0x46], 96);
    for crack in [
        vec![(306, 640), (352, 622), (384, 628), (430, 602), (470, 606)],
        vec![(352, 622), (372, 596), (404, 590)],
        vec![(300, 660), (338, 684), (362, 714), (392, 722)],
        vec![(338, 684), (372, 676)],
        vec![(268, 618), (282, 584), (306, 560)],
    ] {
        sheet.line(&crack, 26, INK);
    }
    // The tapped outline, and ticks where it sounded dull.
    let ring = ellipse((538, 610), (208, 136));
    for (i, pair) in ring.windows(2).enumerate() {
        if i % 2 == 0 {
            sheet.line(pair, 54, CHALK);
        }
    }
    for at in [
        (460, 560),
        (540, 548),
        (612, 570),
        (452, 640),
        (540, 640),
        (630, 652),
        (500, 700),
        (590, 704),
    ] {
        sheet.line(&[(at.0 - 9, at.1 - 7), (at.0 + 9, at.1 + 7)], 40, CHALK);
        sheet.line(&[(at.0 + 9, at.1 - 7), (at.0 - 9, at.1 + 7)], 40, CHALK);
    }
    sheet.write((700, 690), 5, 44, CHALK, "95");
    sheet.write((770, 560), 5, 44, CHALK, "12");
}

/// Cuts the hole: its walls show the skin's thickness.
fn hole(sheet: &mut Sheet, bottom: Colour) {
    sheet.flat(&OPENING, bottom);
    let [near_left, near_right, far_right, far_left] = OPENING;
    // Far and side walls below the skin.
    let wall = [
        far_left,
        far_right,
        (far_right.0 - 6, far_right.1 + 26),
        (far_left.0 + 6, far_left.1 + 26),
    ];
    sheet.flat(&wall, [0xB7, 0xA0, 0x78]);
    sheet.hatch(&wall, (1, 5), (8, 0), 18, INK);
    let left = [
        near_left,
        far_left,
        (far_left.0 + 6, far_left.1 + 26),
        (near_left.0 + 22, near_left.1),
    ];
    sheet.flat(&left, [0xA2, 0x8B, 0x66]);
    sheet.hatch(&left, (3, 4), (4, -5), 18, INK);
    let right = [
        near_right,
        far_right,
        (far_right.0 - 6, far_right.1 + 26),
        (near_right.0 - 22, near_right.1),
    ];
    sheet.flat(&right, [0xC2, 0xAC, 0x84]);
    sheet.outline(&wall);
    sheet.outline(&left);
    sheet.outline(&right);
    sheet.outline(&OPENING);
}

/// The skin lifted, the core brown and wet.
fn opened(sheet: &mut Sheet) {
    hole(sheet, [0x7C, 0x56, 0x34]);
    let bed = [(340, 752), (770, 748), (710, 504), (450, 508)];
    sheet.wash(&bed, WET, 150);
    for (at, half) in [
        ((470, 690), (92, 44)),
        ((600, 610), (90, 52)),
        ((520, 560), (50, 26)),
        ((680, 700), (52, 32)),
    ] {
        sheet.wash(&ellipse(at, half), ROT, 140);
    }
    // Blocks of end grain, some gone.
    for row in 0..5 {
        let y = 540 + row * 46;
        sheet.line(&[(440 - row * 21, y), (716 + row * 12, y - 2)], 18, ROT);
    }
    for column in 0..7 {
        sheet.line(
            &[(458 + column * 42, 508), (356 + column * 68, 750)],
            16,
            ROT,
        );
    }
    sheet.hatch(&ellipse((470, 690), (92, 44)), (7, 3), (3, -7), 20, ROT);
    sheet.hatch(&ellipse((600, 610), (90, 52)), (7, -3), (3, 7), 20, ROT);
    // Water stands in the lowest corner.
    let pool = curve((352, 744), (420, 690), (520, 736), (560, 748));
    sheet.wash(&pool, [0x7E, 0x93, 0x9B], 170);
    sheet.line(
        &curve((380, 736), (420, 722), (470, 728), (500, 738)),
        20,
        [0xE9, 0xEE, 0xEC],
    );
    outer_skin(sheet);
    // A chisel, left lying.
    let handle = [(852, 816), (868, 800), (940, 838), (926, 856)];
    sheet.flat(&handle, TEAK);
    sheet.outline(&handle);
    let blade = [(856, 812), (862, 804), (778, 770), (768, 778)];
    sheet.flat(&blade, [0xC9, 0xCE, 0xD0]);
    sheet.outline(&blade);
}

/// The piece of skin that was cut out, leaning on the house side.
fn outer_skin(sheet: &mut Sheet) {
    let piece = [(846, 640), (1014, 770), (1040, 470), (890, 330)];
    sheet.flat(&piece, [0xC4, 0xA8, 0x78]);
    sheet.wash(&piece, WET, 90);
    sheet.outline(&piece);
    sheet.hatch(&piece, (5, 8), (13, -3), 18, ROT);
    let edge = [(846, 640), (890, 330), (880, 328), (835, 640)];
    sheet.flat(&edge, OLD_DECK);
    sheet.outline(&edge);
}

/// Dug out, ground clean, the edge of the skin tapered.
fn prepared(sheet: &mut Sheet) {
    for (grow, colour) in [
        (34, [0xEA, 0xE2, 0xC4]),
        (22, [0xE0, 0xD2, 0xA6]),
        (11, [0xD2, 0xBE, 0x88]),
    ] {
        let shape = grown(grow);
        sheet.flat(&shape, colour);
        sheet.line(&shape, 16, PENCIL);
    }
    hole(sheet, INNER);
    let bed = [(340, 752), (770, 748), (710, 504), (450, 508)];
    sheet.wash(&bed, [0xD8, 0xC8, 0x84], 120);
    // The marks of the grinding disc.
    for (x, y) in [
        (430, 560),
        (540, 548),
        (640, 566),
        (420, 640),
        (540, 630),
        (660, 648),
        (460, 708),
        (600, 706),
    ] {
        sheet.line(
            &curve(
                (x - 44, y + 12),
                (x - 12, y - 22),
                (x + 26, y - 18),
                (x + 46, y + 10),
            ),
            14,
            PENCIL,
        );
        sheet.line(
            &curve(
                (x - 36, y + 20),
                (x - 8, y - 10),
                (x + 22, y - 8),
                (x + 38, y + 18),
            ),
            14,
            PENCIL,
        );
    }
    sheet.write((500, 640), 5, 40, CHALK, "12 ");
}

/// The new core bedded: two pieces of plywood, weighed down, resin squeezed out.
fn rebuilt(sheet: &mut Sheet) {
    for (grow, colour) in [
        (34, [0xEA, 0xE2, 0xC4]),
        (22, [0xE0, 0xD2, 0xA6]),
        (11, [0xD2, 0xBE, 0x88]),
    ] {
        let shape = grown(grow);
        sheet.flat(&shape, colour);
        sheet.line(&shape, 16, PENCIL);
    }
    sheet.flat(&OPENING, [0x9C, 0x8A, 0x60]);
    sheet.outline(&OPENING);
    let left = [(334, 746), (560, 744), (574, 490), (450, 491)];
    let right = [(572, 744), (778, 742), (708, 487), (586, 489)];
    for piece in [left, right] {
        sheet.flat(&piece, PLY);
        sheet.wash(&piece, [0xC9, 0x96, 0x58], 70);
        sheet.outline(&piece);
    }
    for (x, far) in [
        (380, 468),
        (430, 496),
        (490, 528),
        (616, 610),
        (672, 636),
        (728, 668),
    ] {
        sheet.line(
            &curve((x, 736), (x + 24, 640), (far - 8, 580), (far + 6, 500)),
            14,
            [0xA8, 0x76, 0x40],
        );
        sheet.line(
            &curve(
                (x + 20, 736),
                (x + 30, 650),
                (far + 14, 580),
                (far + 16, 500),
            ),
            12,
            [0xA8, 0x76, 0x40],
        );
    }
    // Screws with washers hold it down while the bedding sets.
    for at in [
        (380, 712),
        (520, 710),
        (470, 600),
        (560, 520),
        (620, 712),
        (744, 708),
        (690, 596),
        (604, 520),
    ] {
        sheet.flat(&ellipse(at, (13, 9)), [0xD2, 0xD4, 0xD2]);
        sheet.outline(&ellipse(at, (13, 9)));
        sheet.line(&[(at.0 - 6, at.1 - 2), (at.0 + 6, at.1 + 2)], 22, INK);
    }
    // The squeeze-out.
    sheet.line(
        &curve((562, 746), (556, 650), (588, 560), (578, 490)),
        60,
        [0xEC, 0xE4, 0xCC],
    );
    sheet.line(
        &curve((562, 746), (556, 650), (588, 560), (578, 490)),
        14,
        PENCIL,
    );
    for weight in [(430, 652), (660, 650)] {
        let body = [
            (weight.0 - 40, weight.1 + 20),
            (weight.0 + 40, weight.1 + 18),
            (weight.0 + 34, weight.1 - 30),
            (weight.0 - 32, weight.1 - 28),
        ];
        sheet.flat(&body, [0x6F, 0x72, 0x74]);
        sheet.outline(&body);
        sheet.hatch(&body, (2, 7), (8, -2), 18, INK);
        sheet.ink(&curve(
            (weight.0 - 14, weight.1 - 28),
            (weight.0 - 16, weight.1 - 56),
            (weight.0 + 18, weight.1 - 56),
            (weight.0 + 14, weight.1 - 29),
        ));
    }
}

/// The opening, so many pixels larger all round.
fn grown(by: i32) -> [(i32, i32); 4] {
    let [a, b, c, d] = OPENING;
    [
        (a.0 - by, a.1 + by * 2 / 3),
        (b.0 + by, b.1 + by * 2 / 3),
        (c.0 + by * 2 / 3, c.1 - by / 2),
        (d.0 - by * 2 / 3, d.1 - by / 2),
    ]
}

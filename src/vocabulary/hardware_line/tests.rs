//! Lines of hardware as people type them, and those that are asked about.

use super::*;

/// The pieces of a line in one writing: count, kind, size, marks, bag.
fn shown(line: &HardwareLine) -> String {
    let piece = |piece: &Hardware| {
        let read = piece.fastener();
        let mut words = vec![
            piece
                .quantity
                .map_or("?".to_owned(), |count| count.to_string()),
        ];
        words.push(read.to_string());
        words.extend(piece.marks.iter().map(|mark| format!("[{}]", mark.word())));
        words.extend(piece.bag.iter().map(|bag| format!("@{}", bag.written())));
        words.extend(piece.note.iter().map(|note| format!("({note})")));
        words.join(" ")
    };
    let pieces: Vec<String> = line.pieces.iter().map(piece).collect();
    pieces.join("; ")
}

#[test]
fn lines_that_are_read_as_meant() {
    for (text, expected) in EXAMPLES {
        let line = read_hardware(text);
        assert_eq!(shown(&line), *expected, "{text}");
        assert_eq!(line.doubts, [], "{text}");
    }
}

#[test]
fn lines_that_are_asked_about() {
    for text in ASKED {
        let line = read_hardware(text);
        assert_ne!(line.doubts, [], "{text}: {}", shown(&line));
    }
}

const EXAMPLES: &[(&str, &str)] = &[
    (
        "3 clevis pins, lost one in the grass",
        "2 clevis pin; 1 clevis pin [lost]",
    ),
    ("8mm bolt x 25 long, qty 4", "4 bolt M8 x 25"),
    (
        "four bolts 3/8 unc 1 1/4 long bag no. 12",
        "4 bolt 3/8-16 x 1-1/4 @12",
    ),
    ("2 pcs 3/8 NC bolts 1-1/4 long", "2 bolt 3/8-16 x 1-1/4"),
    (
        "5/16 nut & bolt x 6, bag22",
        "6 nut 5/16 @22; 6 bolt 5/16 @22",
    ),
    ("2 springs in bag marked SPRING", "2 spring @SPRING"),
    (
        "(2) 7/16-14 x 1-1/2 bolts (2) lock washers bag 8",
        "2 bolt 7/16-14 x 1-1/2 @8; 2 lock washer @8",
    ),
    (
        "hinge bolts 6 x 5/16 x 3/4, bag 20",
        "6 hinge bolt 5/16 x 3/4 @20",
    ),
    ("nuts 5 x 5/16 bag 19", "5 nut 5/16 @19"),
    (
        "4 bolts, 5/16-24 1 1/8 from the top",
        "4 bolt 5/16-24 x 1-1/8 (from the top)",
    ),
    ("nuts M8 three of. bagged, no 31", "3 nut M8 @31"),
    (
        "2 long 3 short bolts M10 bag 33",
        "2 long bolt M10 @33; 3 short bolt M10 @33",
    ),
    ("2 brass 2 steel screws", "2 brass screw; 2 steel screw"),
    (
        "bag 41- 8 bolts 16 washers all 5/16",
        "8 bolt 5/16 @41; 16 washer 5/16 @41",
    ),
    (
        "studs M8 4 in total, 1 thread knackered",
        "3 stud M8; 1 stud M8 [stripped]",
    ),
    ("6 clips broke 2", "4 clip; 2 clip [sheared]"),
    ("4 bolts 1 head rounded", "3 bolt; 1 bolt [stripped]"),
    ("4 blots m8x30 bag 15", "4 bolt M8 x 30 @15"),
    ("5/16 bolt and nut, 3 of each", "3 bolt 5/16; 3 nut"),
    ("bolts, four off M8x20", "4 bolt M8 x 20"),
    ("fine nut, 8 of em", "8 fine nut"),
    ("N. 6 nuts M10 (wrench of 17)", "6 nut M10 (wrench of 17)"),
    ("8 rivets 3/16, drilled em all out", "8 rivet 3/16 [cut]"),
    ("zip lock 31: 2 pin, 2 cotter", "2 pin @31; 2 cotter @31"),
    (
        "2 pins, 1 split pin (use new split pin)",
        "2 pin; 1 split pin [new]",
    ),
    ("4 bolts, none lost", "4 bolt (none lost)"),
    ("10mm head bolts x 5, bag 7", "5 bolt @7 (10mm head)"),
    ("8 x 13mm head bolts bag 3", "8 bolt @3 (13mm head)"),
    ("2 17mm spanner nuts, bag 4", "2 nut @4 (17mm spanner)"),
    ("2 split pins NEW!", "2 split pin [new]"),
    ("2 nylocks m8 (use new)", "2 nylock M8 [new]"),
    ("3 bolts 10mm spanner, no bag yet", "3 bolt (10mm spanner)"),
    ("4 nuts M8, not bagged", "4 nut M8"),
    ("4 clamp bolts cut w grinder", "4 clamp bolt [cut]"),
    ("2 link pins sawn off with hacksaw", "2 link pin [cut]"),
    ("qty 7 screws M5 20 long, bag 40", "7 screw M5 x 20 @40"),
    ("2 bolts M6 25mm long", "2 bolt M6 x 25"),
    ("bolts M12x60 qty two, bag nr 3", "2 bolt M12 x 60 @3"),
    (
        "2 bolts 3/8, one sheared, bag 13",
        "1 bolt 3/8 @13; 1 bolt 3/8 [sheared]",
    ),
    ("spring x1 clip x2 in bag 12", "1 spring @12; 2 clip @12"),
    (
        "six 5/16-18 bolts, gr 8, one sheared off in the frame. bag 14",
        "5 bolt 5/16-18 grade 8 @14; 1 bolt 5/16-18 grade 8 [sheared]",
    ),
    (
        "4 strap bolt 3/8-24 x 2-1/2 grade 5, bag 31",
        "4 strap bolt 3/8-24 x 2-1/2 grade 5 @31",
    ),
    ("2 felt pad, new", "2 felt pad [new]"),
    ("4 bolt M8x1,25 x 30, bag 3", "4 bolt M8 x 30 @3"),
    ("4x M8×1.25", "4 M8"),
    ("two nuts, bag coffee tin", "2 nut @coffee tin"),
    ("1 stud, sheared, cut", "1 stud [sheared] [cut]"),
    (
        "2 nut 1/2-13 (behind the bracket, rusty)",
        "2 nut 1/2-13 (behind the bracket, rusty)",
    ),
    (
        "3 screw 1/4-20 x 1/2 each, bag 11",
        "3 screw 1/4-20 x 1/2 @11",
    ),
    ("4 bolts (bag 12)", "4 bolt @12"),
    ("bag 12: 4 bolts, 4 washers", "4 bolt @12; 4 washer @12"),
    ("4 bolts (bag 12), 2 nuts (bag 13)", "4 bolt @12; 2 nut @13"),
    ("4 bolts bag 1, 2 nuts bag 2", "4 bolt @1; 2 nut @2"),
    ("Bolts: 4, nuts: 4 (bag 30)", "4 bolt @30; 4 nut @30"),
    (
        "4x bolt/nut/washer, bag 30",
        "4 bolt @30; 4 nut @30; 4 washer @30",
    ),
    (
        "one big bolt, two little ones, bag 6",
        "1 big bolt @6; 2 little bolt @6",
    ),
    (
        "2 long, 2 short bolts, bag 6",
        "2 long bolt @6; 2 short bolt @6",
    ),
    (
        "2 bolts M8 x 20, 2 M8 x 30, bag 6",
        "2 bolt M8 x 20 @6; 2 bolt M8 x 30 @6",
    ),
    (
        "2 bolts (3/8-16 x 1, 3/8-16 x 2)",
        "1 bolt 3/8-16 x 1; 1 bolt 3/8-16 x 2",
    ),
    ("bag 4: 2 bolts, bag 5: 2 nuts", "2 bolt @4; 2 nut @5"),
    ("bag 4: 2 bolts, 2 nuts (bag 5)", "2 bolt @4; 2 nut @5"),
    ("2 pins, 2 cotters - all in bag 9", "2 pin @9; 2 cotter @9"),
    ("none, it was only glued", ""),
    ("4 bolts, 10mm head, bag 3", "4 bolt @3 (10mm head)"),
    ("4 nuts 13mm spanner size", "4 nut (13mm spanner size)"),
    ("4 bolts, torque to 45, bag 6", "4 bolt @6 (torque to 45)"),
    ("2 ball bearings 6203 bag 8", "2 ball bearing 6203 @8"),
    (
        "4 bolts 3/8-16, one sheared",
        "3 bolt 3/8-16; 1 bolt 3/8-16 [sheared]",
    ),
    (
        "4 bolts (2 stripped), bag 3",
        "2 bolt @3; 2 bolt [stripped]",
    ),
    (
        "4 bolts and 4 nuts, one bolt sheared",
        "3 bolt; 1 bolt [sheared]; 4 nut",
    ),
    (
        "3 studs snapped off in the block",
        "3 stud [sheared] (snapped off in the block)",
    ),
    ("2 hose clamps (had to cut them)", "2 hose clamp [cut]"),
    (
        "2 bolts taped back to the bracket",
        "2 bolt (taped back to the bracket)",
    ),
    ("2 new copper washers", "2 copper washer [new]"),
    ("2 new old stock bolts", "2 new old stock bolt"),
    ("bolts M8x25 - 6 pcs - bag 12", "6 bolt M8 x 25 @12"),
    (
        "2 sets bolt+nut+washer, bag 8",
        "2 bolt @8; 2 nut @8; 2 washer @8",
    ),
    ("4 bolts [bag 8]", "4 bolt @8"),
    ("Bag 8 / 4 bolts / 4 nuts", "4 bolt @8; 4 nut @8"),
    ("4 bolts M8. 4 nuts M8. bag 8", "4 bolt M8 @8; 4 nut M8 @8"),
    ("screws: 8x no 8 x 3/4, bag 8", "8 screw #8 x 3/4 @8"),
    (
        "4 bolts M6 (1 snapped, 3 ok)",
        "1 bolt M6 [sheared]; 3 bolt M6",
    ),
    ("10 clips, all good", "10 clip (all good)"),
    (
        "bag A: 2 x 1/4 BSF x 3/4 hex set screws",
        "2 hex set screw 1/4 BSF x 3/4 @A",
    ),
    ("2 gaskets order new ones", "2 gasket [new]"),
    ("2 pin retaining clip, bag 3", "2 pin retaining clip @3"),
    ("2 bolts holding bracket", "2 bolt (holding bracket)"),
    ("4 bolts 2 nuts bag 3", "4 bolt @3; 2 nut @3"),
    ("6 hex bolts, zinc", "6 hex bolt zinc"),
    (
        "6 bolts (2 long, 4 short), bag 3",
        "2 long bolt @3; 4 short bolt @3",
    ),
    ("8 screws, 2 of them rusty", "8 screw (2 of them rusty)"),
    (
        "3 studs M10x1,25 one of them broken",
        "2 stud M10x1.25; 1 stud M10x1.25 [sheared]",
    ),
    ("4 M8 bolts 30mm long bag 2", "4 bolt M8 x 30 @2"),
    ("8 screws, bagged and labelled 5", "8 screw @5"),
    ("4 shims 0,15, bag 3", "4 shim 0.15 @3"),
    ("2 nuts key 19, bag 3", "2 nut @3 (key 19)"),
    ("2 nuts SW 19, bag 3", "2 nut @3 (SW 19)"),
    ("2 woodruff keys, bag 3", "2 woodruff key @3"),
    ("3 skruvar (screws) M6, bag 2", "3 screw M6 @2 (skruvar)"),
    ("2 nuts (brass), bag 2", "2 nut @2 (brass)"),
    (
        "2 pins 4 x 30,1 nut M6, bag 2",
        "2 pin 4 x 30 @2; 1 nut M6 @2",
    ),
    ("3 washers 5,3 x 10 x 1, bag 2", "3 washer 5.3 x 10 x 1 @2"),
    ("6 screws M5x12 A4, bag A2", "6 screw M5 x 12 class A4 @A2"),
    (
        "two gross of brass rivets, coffee jar 3",
        "288 brass rivet @coffee jar 3",
    ),
];

const ASKED: &[&str] = &[
    "4 new bolts, 5/16-24 1 1/8 at 0.85 each",
    "1 bolt short, bag 3",
    "4 bolts (1 short)",
    "4 bolts M6, 8 washers all M8, bag 3",
    "4 bolts M8, missing one",
    "4 bolts (bag 3, tin 2)",
    "2 bolts per side",
    "4 screws, heads chewed",
    "8 total: 4 bolts, 4 nuts",
    "3 screws bag 4 on shelf 2",
    "1 of them M10",
    "4 bolts in 12",
    "2 screws b6",
    "a handful of washers, bag 12",
    "2-3 shims",
    "1 (of 4) bolts",
    "M8 bolts bag 4",
    "4 bolts + washers bag 6",
    "l4 bolts",
    "4 bolts bag 12 or 13",
    "4 bolts bags 12 and 13",
    "same as other side, bag 13",
    "3 bolts, 1 longer, bag 9",
    "4 bolts baf 12",
    "bag 4: 2 bolts, bag 5",
    "bag 4, bag 5: 2 bolts",
    "4 bolts, bag 3, 2 washers",
    "4 hex nut 1/2-13, bag 12, bag 13",
    "2 bolts, 2 nuts, new",
    "hex nut 1/2-13, bag 12",
    "bolt M8 x30",
    "8 screws (5)",
    "2 bolts for left, 2 for right, bag 2",
    "2 hinge pins left, 2 right, bag 2",
    "4 self locking nuts (always new!)",
    "10 clips, half of them broken",
    "2 bolts M8/25, bag 2",
    "2 clips each side, bag 8",
    "5 clips but only 4 in bag 8",
    "bolts 3/8 UNF x 4, bag 8",
    "4 bolts in bag with grille",
    "bag 8",
    "2 sets of points",
    "6 bolts (2 long, 3 short)",
    "4 bolts M6 or 1/4, bag 1",
    "3 hose clamps 16-27mm, bag 1",
    "2 studs, 8 or 9 mm",
    "",
];

proptest::proptest! {
    #[test]
    fn any_line_can_be_read(text in "([a-z]{1,6}|bag|bolts|new|x|[0-9]{1,3}|M8|1/2|[\\PC]|[ ,:;()/&+#-]){0,14}") {
        let _ = read_hardware(&text);
        let _ = read_hardware(&text.replace(|c: char| c.is_whitespace(), ""));
    }
}

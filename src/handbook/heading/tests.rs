//! What headings mean, and what they do not.

use super::*;

fn read(text: &str, driven: Driven) -> (String, Vec<String>) {
    let heading = read_heading(text, driven);
    let at = heading.at.iter().map(ToString::to_string).collect();
    (heading.name, at)
}

#[test]
fn places_stand_anywhere_in_a_heading() {
    for (text, name, at) in [
        ("Wheel cylinder, left front", "Wheel cylinder", "left front"),
        ("left front wheel cylinder", "wheel cylinder", "left front"),
        ("Wheel cylinder, LF", "Wheel cylinder", "left front"),
        ("Bulkhead, upper, left", "Bulkhead", "upper left"),
        ("front damper, left", "damper", "left front"),
        ("Mirror, passenger side", "Mirror", "left"),
        ("inner wing", "wing", "inner"),
        ("Left-hand door", "door", "left"),
        ("Track rod end R/H", "Track rod end", "right"),
        ("L.F. backing plate", "backing plate", "left front"),
        ("o/s/f hub", "hub", "right front"),
        ("rear n/s light", "light", "left rear"),
        ("Side lamp on the left", "Side lamp", "left"),
        (
            "Wheel cylinder (left front)",
            "Wheel cylinder",
            "left front",
        ),
        (
            "Wheel cylinder - left front",
            "Wheel cylinder",
            "left front",
        ),
        (
            "Wheel cylinder, rear axle, left",
            "Wheel cylinder",
            "left rear",
        ),
        ("Left door, upper hinge", "door hinge", "upper left"),
        (
            "Left rear spring, front eye bush",
            "spring front eye bush",
            "left rear",
        ),
        ("LH RR door", "door", "left rear"),
        ("engine mount l/hand", "engine mount", "left"),
        ("Hub L", "Hub", "left"),
        ("the left front wheel", "wheel", "left front"),
        ("off-side step", "step", "right"),
        ("Co-driver's side mirror", "mirror", "left"),
        ("Hub seal, front axle left", "Hub seal", "left front"),
        ("Lamp, right in direction of travel", "Lamp", "right"),
        ("Hinge, left (seen from behind)", "Hinge", "left"),
        ("Cable clip back, right", "Cable clip", "right rear"),
    ] {
        assert_eq!(
            read(text, Driven::Right),
            (name.to_owned(), vec![at.to_owned()]),
            "{text}"
        );
    }
}

#[test]
fn several_places_in_one_heading() {
    for (text, name, at) in [
        (
            "Both front springs",
            "spring",
            &["left front", "right front"][..],
        ),
        ("Pair of bezels", "bezel", &["left", "right"]),
        (
            "Left and right track rod ends",
            "track rod end",
            &["left", "right"],
        ),
        (
            "Front hubs, left & right",
            "hub",
            &["left front", "right front"],
        ),
        (
            "Rear brake hose LH+RH",
            "brake hose",
            &["left rear", "right rear"],
        ),
        (
            "Brake drum LF RF",
            "Brake drum",
            &["left front", "right front"],
        ),
        (
            "Brake drums, LF, RR",
            "Brake drum",
            &["left front", "right rear"],
        ),
        ("Bumper, front and rear", "Bumper", &["front", "rear"]),
        ("LH side panel", "side panel", &["left"]),
        ("R/H side marker lamp", "side marker lamp", &["right"]),
        ("left side headlamp", "headlamp", &["left"]),
        (
            "Brake drum all four wheels",
            "Brake drum",
            &["left front", "right front", "left rear", "right rear"],
        ),
        (
            "drum - all four",
            "drum",
            &["left front", "right front", "left rear", "right rear"],
        ),
    ] {
        let at: Vec<String> = at.iter().map(|at| (*at).to_owned()).collect();
        assert_eq!(read(text, Driven::Left), (name.to_owned(), at), "{text}");
    }
}

#[test]
fn words_of_a_name_stay_in_it() {
    for text in [
        "Horn",
        "Left front",
        "Sleeve, long",
        "Driver's seat",
        "Front axle beam",
        "Rear window",
        "rear window rubber",
        "Left-hand thread stud",
        "Hub nut, R/H thread",
        "Top dead centre plate",
        "Centre link",
        "Right hand drive steering box",
        "Rear-view mirror",
        "R clip",
        "U-bolt",
        "Piston, cyl 3",
        "Nut and bolt",
        "Seat back",
        "PS pump",
        "Wheel centre",
        "Heater and demister box",
        "Right angle drive",
        "Back axle filler plug",
        "Rear axle drain plugs",
    ] {
        assert_eq!(
            read(text, Driven::Left),
            (text.to_owned(), vec![]),
            "{text}"
        );
        assert_eq!(read_heading(text, Driven::Left).remarks, [], "{text}");
    }
}

#[test]
fn what_has_two_readings_is_asked() {
    for text in [
        "nearside sill",
        "kerb side step",
        "Driver's side panel",
        "Front shackle of rear spring, LH",
        "Two front wheel bearings",
        "Check strap, left or right?",
        "Wheel, R",
        "check strap L/R",
        "Both left hinges",
        "Right hinge (viewed from the front)",
        "Cable clip back, right",
    ] {
        let driven = match text.starts_with("Driver") {
            true => Driven::Unsaid,
            false => Driven::Left,
        };
        assert_ne!(read_heading(text, driven).remarks, [], "{text}");
    }
}

#[test]
fn the_value_of_at_is_a_place_or_words() {
    for (text, expected) in [
        ("L/H", vec!["left"]),
        ("both", vec!["left", "right"]),
        ("front and rear", vec!["front", "rear"]),
        ("top", vec!["upper"]),
        ("behind the seat", vec!["behind the seat"]),
    ] {
        let (places, _) = read_places(text, Driven::Left);
        let places: Vec<String> = places.iter().map(ToString::to_string).collect();
        assert_eq!(places, expected, "{text}");
    }
}

//! Words that different shops use for the same thing: both sides of the ocean,
//! old and new workshop speech.
//!
//! Common practice, collected from nowhere in particular; there is no published
//! source. It does not translate: a word that means something else across the
//! ocean (`FALSE FRIENDS` in the comments) is left out, because a synonym must
//! never make a search worse.

use crate::vocabulary::words;

/// Words for one thing.
#[derive(Clone, Copy, Debug)]
pub struct Group {
    /// Where the thing belongs; for the reader of this table only.
    pub system: &'static str,
    /// The words, folded. Any of them finds all the others.
    pub words: &'static [&'static str],
}

const fn group(system: &'static str, words: &'static [&'static str]) -> Group {
    Group { system, words }
}

/// What the handbook knows about the beginning of some words.
#[derive(Debug, PartialEq, Eq)]
pub struct Known {
    /// How many of the words it is about.
    pub length: usize,
    /// The stems of each other name; none for words that only must be kept
    /// together.
    pub others: Vec<Vec<String>>,
}

/// What the given stems begin with, if the handbook knows it: the longest run
/// of them that is a name for something.
#[must_use]
pub fn synonyms(asked: &[String]) -> Option<Known> {
    // These stems begin as their words do; to stem them all would take longer than
    // the search.
    let first = beginning(asked.first()?);
    let kept = KEPT_TOGETHER.iter().map(std::slice::from_ref);
    let groups = GROUPS.iter().map(|group| group.words).chain(kept);
    let (own, name, group) = groups
        .flat_map(|group| group.iter().map(move |name| (name, group)))
        .filter(|(name, _)| name.starts_with(first))
        .map(|(name, group)| (stems(name), name, group))
        .filter(|(own, ..)| asked.starts_with(own))
        .max_by_key(|(own, ..)| own.len())?;
    // A shorter way to say the same ("starter" for "starter motor") would let a
    // question for all words be answered by some of them.
    let says_less = |other: &Vec<String>| other.iter().all(|word| own.contains(word));
    let others = group.iter().filter(|other| *other != name);
    let others = others.map(|other| stems(other));
    Some(Known {
        length: own.len(),
        others: others.filter(|other| !says_less(other)).collect(),
    })
}

/// As much of a stem as its word has too: two letters, as `pry` has the stem `pri`.
fn beginning(stem: &str) -> &str {
    let end = stem.char_indices().nth(2).map_or(stem.len(), |(at, _)| at);
    &stem[..end]
}

fn stems(words: &str) -> Vec<String> {
    words.split(' ').map(words::stem).collect()
}

/// FALSE FRIENDS in company: here the first word does not mean what it means
/// alone, so it is not to be exchanged.
pub const KEPT_TOGETHER: &[&str] = &[
    "wing bolt",
    "wing screw",
    "ground clearance",
    "ground coat",
    "ground down",
    "ground off",
    "ground flat",
    "vice versa",
    "welding torch",
    "cutting torch",
    "gas torch",
    "steering damper",
    "vibration damper",
    "damper pulley",
    "steel toe boot",
    "work boot",
    "serial number plate",
    "wear indicator",
];

/// All groups, by system. FALSE FRIENDS stand beside the group that they would
/// have joined.
pub const GROUPS: &[Group] = &[
    // Body. In Britain a hood is also a soft top: `soft top` has its own group,
    // without `hood`, or every bonnet would answer for it. Piping (welting) has
    // one stem with the pipes.
    group("body", &["bonnet", "hood"]),
    group(
        "body",
        &["bonnet catch", "hood latch", "bonnet latch", "hood catch"],
    ),
    group(
        "body",
        &["bonnet stay", "hood prop", "bonnet prop", "hood stay"],
    ),
    group("body", &["wing", "fender", "mudguard"]),
    group("body", &["inner wing", "inner fender", "fender apron"]),
    group(
        "body",
        &[
            "wing piping",
            "wing beading",
            "fender welt",
            "fender beading",
        ],
    ),
    group(
        "body",
        &["wing mirror", "door mirror", "side mirror", "fender mirror"],
    ),
    // `boot` alone is also the rubber kind; that has its own names below.
    group("body", &["boot", "trunk"]),
    group("body", &["boot lid", "trunk lid", "deck lid", "decklid"]),
    group("body", &["bulkhead", "firewall"]),
    group("body", &["scuttle", "cowl"]),
    // `rocker` alone belongs to the valves.
    group("body", &["sill", "rocker panel"]),
    group("body", &["rear wing", "quarter panel"]),
    group("body", &["floor pan", "floorpan"]),
    group(
        "body",
        &[
            "number plate",
            "licence plate",
            "license plate",
            "registration plate",
        ],
    ),
    group("body", &["valance", "apron"]),
    group("body", &["cross member", "crossmember"]),
    group("body", &["soft top", "folding top", "convertible top"]),
    group("body", &["estate car", "station wagon", "shooting brake"]),
    group("body", &["saloon", "sedan"]),
    group("body", &["lorry", "truck"]),
    group("body", &["squab", "seat back", "backrest"]),
    group("body", &["headlining", "roof lining"]),
    group("body", &["door card", "door trim", "door trim panel"]),
    group(
        "body",
        &["glovebox", "glove box", "glove compartment", "cubby"],
    ),
    group(
        "body",
        &["dashboard", "dash", "fascia", "facia", "instrument panel"],
    ),
    group("body", &["parcel shelf", "package tray"]),
    group("body", &["overrider", "bumper guard"]),
    group("body", &["gutter", "drip rail", "drip moulding"]),
    group(
        "body",
        &[
            "weatherstrip",
            "weather strip",
            "door seal",
            "draught excluder",
        ],
    ),
    group("body", &["kick plate", "tread plate", "scuff plate"]),
    group("body", &["filler flap", "fuel door", "petrol flap"]),
    group("body", &["badge", "emblem"]),
    group("body", &["seat belt", "seatbelt", "safety belt"]),
    group("body", &["moulding", "molding"]),
    group("body", &["striker", "striker plate", "keep plate"]),
    group(
        "body",
        &["wheel arch", "wheelarch", "wheel well", "wheelhouse"],
    ),
    group("body", &["tailgate", "liftgate"]),
    group("body", &["jacking point", "lifting point"]),
    group("body", &["window winder", "window crank", "winder handle"]),
    group("body", &["window regulator", "winder mechanism"]),
    group("body", &["running board", "side step"]),
    group("body", &["mudflap", "mud flap", "splash guard"]),
    group("body", &["roof rack", "luggage rack", "roof carrier"]),
    group("body", &["door check", "check strap", "door stop"]),
    // Glass. `screen` alone is also a filter, `light` also a lamp.
    group("glass", &["windscreen", "windshield"]),
    group(
        "glass",
        &["quarterlight", "quarter light", "vent window", "vent wing"],
    ),
    group(
        "glass",
        &["rear window", "rear screen", "back glass", "backlight"],
    ),
    group("glass", &["demister", "defroster"]),
    group("glass", &["door glass", "drop glass"]),
    group(
        "glass",
        &["screen rubber", "glazing rubber", "window rubber"],
    ),
    group("glass", &["sun visor", "sunvisor", "sun shade"]),
    group(
        "glass",
        &["rear view mirror", "interior mirror", "driving mirror"],
    ),
    // Engine. `motor` also drives wipers and fans; `crank` is also a verb and
    // winds windows; `lifter` lifts those too.
    group("engine", &["gudgeon pin", "wrist pin", "piston pin"]),
    group(
        "engine",
        &["big end", "rod bearing", "connecting rod bearing"],
    ),
    group("engine", &["conrod", "con rod", "connecting rod"]),
    group("engine", &["sump", "oil pan"]),
    group("engine", &["sump plug", "oil drain plug"]),
    group("engine", &["tappet", "valve lifter", "cam follower"]),
    group("engine", &["pushrod", "push rod"]),
    group("engine", &["rocker cover", "valve cover", "tappet cover"]),
    group(
        "engine",
        &["core plug", "freeze plug", "welch plug", "frost plug"],
    ),
    group("engine", &["starter ring", "flywheel ring gear"]),
    group("engine", &["timing cover", "timing case"]),
    group(
        "engine",
        &["collet", "valve keeper", "valve lock", "valve cotter"],
    ),
    group("engine", &["valve spring cap", "valve spring retainer"]),
    group("engine", &["rebore", "overbore"]),
    group("engine", &["cylinder liner", "cylinder sleeve"]),
    group("engine", &["dipstick", "dip stick", "oil level stick"]),
    group("engine", &["oil strainer", "oil pickup", "oil pick up"]),
    group("engine", &["oil seal", "lip seal", "shaft seal"]),
    group("engine", &["end float", "endfloat", "end play", "endplay"]),
    group("engine", &["engine mount", "motor mount"]),
    group("engine", &["decoke", "decarbonise", "decarbonize"]),
    group("engine", &["seized", "frozen"]),
    group(
        "engine",
        &["valve clearance", "tappet clearance", "valve lash"],
    ),
    group("engine", &["top dead centre", "top dead center", "tdc"]),
    group("engine", &["overhaul", "recondition", "rebuild"]),
    group(
        "engine",
        &["harmonic balancer", "crankshaft damper", "harmonic damper"],
    ),
    group("engine", &["head gasket", "cylinder head gasket"]),
    group(
        "engine",
        &["starting handle", "crank handle", "starting crank"],
    ),
    group("engine", &["cylinder block", "engine block"]),
    // Fuel. `gas` alone is also in bottles, in struts and in the exhaust, so
    // only its pairs are here.
    group("fuel", &["petrol", "gasoline"]),
    group(
        "fuel",
        &["fuel tank", "petrol tank", "gas tank", "gasoline tank"],
    ),
    group("fuel", &["fuel pump", "petrol pump", "gas pump"]),
    group(
        "fuel",
        &["fuel line", "fuel pipe", "petrol pipe", "gas line"],
    ),
    group("fuel", &["fuel cap", "filler cap", "petrol cap", "gas cap"]),
    group("fuel", &["fuel gauge", "petrol gauge", "gas gauge"]),
    group("fuel", &["fuel filter", "petrol filter", "gas filter"]),
    group(
        "fuel",
        &["carburettor", "carburetor", "carburetter", "carb"],
    ),
    group("fuel", &["choke", "strangler"]),
    group(
        "fuel",
        &["throttle pedal", "accelerator pedal", "gas pedal"],
    ),
    group("fuel", &["float chamber", "float bowl"]),
    group("fuel", &["float needle", "needle valve"]),
    group("fuel", &["air cleaner", "air filter"]),
    group(
        "fuel",
        &["inlet manifold", "intake manifold", "induction manifold"],
    ),
    group("fuel", &["fuel sender", "tank sender", "tank unit"]),
    group("fuel", &["idle jet", "pilot jet", "slow running jet"]),
    group("fuel", &["idle", "tickover", "slow running"]),
    group("fuel", &["fuel tap", "petrol tap", "petcock"]),
    group("fuel", &["glow plug", "heater plug"]),
    group("fuel", &["diesel", "derv"]),
    // Cooling.
    group("cooling", &["radiator", "rad"]),
    group("cooling", &["radiator cap", "pressure cap"]),
    group("cooling", &["coolant", "antifreeze", "anti freeze"]),
    group("cooling", &["hose clip", "hose clamp", "worm drive clip"]),
    group("cooling", &["fan belt", "v belt", "vee belt"]),
    group("cooling", &["water pump", "coolant pump"]),
    group("cooling", &["heater matrix", "heater core"]),
    group(
        "cooling",
        &[
            "expansion tank",
            "overflow tank",
            "header tank",
            "surge tank",
        ],
    ),
    group(
        "cooling",
        &["temperature gauge", "temp gauge", "heat gauge"],
    ),
    group("cooling", &["drain tap", "drain cock", "draincock"]),
    group("cooling", &["fan shroud", "fan cowl"]),
    // Exhaust.
    group("exhaust", &["silencer", "muffler"]),
    group("exhaust", &["tail pipe", "tailpipe"]),
    group("exhaust", &["exhaust manifold", "exhaust header"]),
    group("exhaust", &["downpipe", "down pipe", "head pipe"]),
    group("exhaust", &["exhaust bracket", "exhaust hanger"]),
    // Electrics. `lead` and `cable` name too much; `points` alone are also to
    // jack from or to make.
    group("electrics", &["dynamo", "generator"]),
    group("electrics", &["earth", "ground"]),
    group(
        "electrics",
        &[
            "earth strap",
            "ground strap",
            "earth lead",
            "earth cable",
            "ground cable",
            "bonding strap",
        ],
    ),
    group("electrics", &["battery", "accumulator"]),
    group("electrics", &["headlamp", "headlight"]),
    group(
        "electrics",
        &["tail lamp", "tail light", "rear lamp", "rear light"],
    ),
    group(
        "electrics",
        &["indicator", "turn signal", "blinker", "trafficator"],
    ),
    group("electrics", &["flasher unit", "flasher relay"]),
    group(
        "electrics",
        &[
            "sidelight",
            "side lamp",
            "side light",
            "parking light",
            "parking lamp",
        ],
    ),
    group(
        "electrics",
        &[
            "reversing light",
            "reversing lamp",
            "backup light",
            "backup lamp",
        ],
    ),
    group(
        "electrics",
        &["stop light", "stop lamp", "brake light", "brake lamp"],
    ),
    group(
        "electrics",
        &["dip switch", "dimmer switch", "dipper switch"],
    ),
    group("electrics", &["main beam", "high beam"]),
    group("electrics", &["dipped beam", "low beam"]),
    group(
        "electrics",
        &["loom", "harness", "wiring loom", "wiring harness"],
    ),
    group("electrics", &["distributor", "dizzy"]),
    group("electrics", &["rotor arm", "distributor rotor"]),
    group(
        "electrics",
        &[
            "contact breaker",
            "breaker points",
            "contact points",
            "ignition points",
        ],
    ),
    group("electrics", &["condenser", "capacitor"]),
    group(
        "electrics",
        &["plug lead", "ht lead", "plug wire", "spark plug wire"],
    ),
    group(
        "electrics",
        &["control box", "voltage regulator", "regulator box"],
    ),
    group("electrics", &["starter", "starter motor", "self starter"]),
    group("electrics", &["starter drive", "starter pinion"]),
    group("electrics", &["starter solenoid", "starter relay"]),
    group("electrics", &["fusebox", "fuse box", "fuse block"]),
    group("electrics", &["spade terminal", "blade terminal"]),
    group("electrics", &["bullet connector", "snap connector"]),
    group("electrics", &["speedometer", "speedo"]),
    group("electrics", &["tachometer", "rev counter", "tacho"]),
    group("electrics", &["horn", "hooter"]),
    group("electrics", &["sender", "sending unit", "sender unit"]),
    group("electrics", &["ignition switch", "ignition lock"]),
    group(
        "electrics",
        &["interior light", "courtesy light", "dome light"],
    ),
    group(
        "electrics",
        &["jump leads", "jumper cables", "booster cables"],
    ),
    group(
        "electrics",
        &["wiper", "windscreen wiper", "windshield wiper"],
    ),
    group("electrics", &["insulating tape", "electrical tape"]),
    // Transmission.
    group("transmission", &["gearbox", "transmission"]),
    group(
        "transmission",
        &[
            "propshaft",
            "prop shaft",
            "propeller shaft",
            "driveshaft",
            "drive shaft",
            "cardan shaft",
        ],
    ),
    group("transmission", &["half shaft", "halfshaft", "axle shaft"]),
    group(
        "transmission",
        &[
            "release bearing",
            "throwout bearing",
            "clutch thrust bearing",
        ],
    ),
    group(
        "transmission",
        &[
            "clutch plate",
            "clutch disc",
            "clutch disk",
            "friction plate",
            "driven plate",
        ],
    ),
    group("transmission", &["clutch cover", "pressure plate"]),
    group("transmission", &["spigot bearing", "pilot bearing"]),
    group("transmission", &["spigot bush", "pilot bush"]),
    group(
        "transmission",
        &["bell housing", "bellhousing", "clutch housing"],
    ),
    group(
        "transmission",
        &[
            "gear lever",
            "gear stick",
            "gearstick",
            "gear shift",
            "gearshift",
            "shifter",
            "shift lever",
        ],
    ),
    group(
        "transmission",
        &["gaiter", "rubber boot", "dust boot", "bellows"],
    ),
    group("transmission", &["differential", "diff"]),
    group("transmission", &["crown wheel", "crownwheel", "ring gear"]),
    group("transmission", &["layshaft", "lay shaft", "countershaft"]),
    group(
        "transmission",
        &["input shaft", "first motion shaft", "primary shaft"],
    ),
    group("transmission", &["synchromesh", "synchro"]),
    group(
        "transmission",
        &["synchro ring", "baulk ring", "blocker ring"],
    ),
    group("transmission", &["selector fork", "shift fork"]),
    group("transmission", &["selector rod", "shift rail"]),
    group("transmission", &["universal joint", "u joint", "uj"]),
    group("transmission", &["constant velocity joint", "cv joint"]),
    group("transmission", &["back axle", "rear axle"]),
    group("transmission", &["axle casing", "axle housing"]),
    group("transmission", &["kick start", "kickstart", "kick starter"]),
    group(
        "transmission",
        &["gear oil", "gearbox oil", "transmission oil"],
    ),
    // Brakes. A cotter pin proper is a tapered wedge; see hardware.
    group(
        "brakes",
        &[
            "handbrake",
            "hand brake",
            "parking brake",
            "emergency brake",
        ],
    ),
    group("brakes", &["brake disc", "brake disk", "brake rotor"]),
    group("brakes", &["brake pad", "disc pad"]),
    group("brakes", &["backplate", "back plate"]),
    group("brakes", &["wheel cylinder", "brake cylinder"]),
    group("brakes", &["brake servo", "brake booster", "vacuum servo"]),
    group("brakes", &["brake pipe", "brake line"]),
    group(
        "brakes",
        &["brake hose", "flexible hose", "flex hose", "flexi hose"],
    ),
    group(
        "brakes",
        &["bleed nipple", "bleed screw", "bleeder screw", "bleeder"],
    ),
    group("brakes", &["brake fluid", "hydraulic fluid"]),
    group("brakes", &["flare nut", "tube nut", "pipe nut"]),
    group("brakes", &["compensator", "equaliser", "equalizer"]),
    group("brakes", &["caliper", "calliper"]),
    group("brakes", &["brake adjuster", "star wheel"]),
    // Steering. An American spindle is a stub axle; but so much else turns on a
    // spindle that only the pair is here.
    group("steering", &["track rod", "tie rod"]),
    group("steering", &["track rod end", "tie rod end"]),
    group("steering", &["drop arm", "pitman arm"]),
    group("steering", &["steering box", "steering gear"]),
    group("steering", &["kingpin", "king pin", "swivel pin"]),
    group(
        "steering",
        &["stub axle", "steering knuckle", "wheel spindle"],
    ),
    group("steering", &["toe in", "wheel alignment", "wheel tracking"]),
    group("steering", &["castor", "caster"]),
    group("steering", &["steering idler", "idler arm"]),
    group(
        "steering",
        &["head bearing", "headset bearing", "steering head bearing"],
    ),
    group(
        "steering",
        &["power steering", "power assisted steering", "pas"],
    ),
    // Suspension. `shock` alone is also electric; bush and bushing are one stem.
    group("suspension", &["damper", "shock absorber"]),
    group(
        "suspension",
        &[
            "anti roll bar",
            "antiroll bar",
            "sway bar",
            "stabiliser bar",
            "stabilizer bar",
        ],
    ),
    group("suspension", &["wishbone", "control arm", "suspension arm"]),
    group(
        "suspension",
        &["leaf spring", "cart spring", "semi elliptic spring"],
    ),
    group("suspension", &["coil spring", "road spring"]),
    group("suspension", &["bump stop", "bump rubber", "jounce bumper"]),
    group("suspension", &["ball joint", "balljoint"]),
    group("suspension", &["u bolt", "ubolt"]),
    group("suspension", &["fork tube", "stanchion"]),
    group(
        "suspension",
        &["grease nipple", "grease fitting", "grease point"],
    ),
    // Wheels. A spinner also hangs from a fishing line, and on hubs has wings.
    group("wheels", &["tyre", "tire"]),
    group(
        "wheels",
        &[
            "hubcap",
            "hub cap",
            "wheel cover",
            "wheel trim",
            "nave plate",
        ],
    ),
    group("wheels", &["wheel nut", "lug nut"]),
    group("wheels", &["wheel stud", "lug stud"]),
    group("wheels", &["wheel bolt", "lug bolt"]),
    group("wheels", &["wheel brace", "lug wrench", "wheel wrench"]),
    group("wheels", &["spare wheel", "spare tyre", "spare tire"]),
    group("wheels", &["dust cap", "grease cap"]),
    group("wheels", &["crossply", "cross ply", "bias ply"]),
    group("wheels", &["kerb", "curb"]),
    group("wheels", &["whitewall", "white wall"]),
    group("wheels", &["chock", "wheel block"]),
    group("wheels", &["wheel bearing", "hub bearing"]),
    // Hardware. FALSE FRIENDS: an American set screw is a grub screw, a British
    // one is a bolt threaded to its head, so `set screw` is not here; and a
    // fender washer has no fender.
    group("hardware", &["split pin", "cotter pin"]),
    group(
        "hardware",
        &["circlip", "snap ring", "retaining ring", "c clip"],
    ),
    group("hardware", &["jam nut", "lock nut", "locknut", "check nut"]),
    group(
        "hardware",
        &[
            "stiff nut",
            "self locking nut",
            "prevailing torque nut",
            "nylon insert nut",
        ],
    ),
    group(
        "hardware",
        &["spring washer", "lock washer", "split washer"],
    ),
    group(
        "hardware",
        &[
            "star washer",
            "shakeproof washer",
            "toothed washer",
            "serrated washer",
        ],
    ),
    group(
        "hardware",
        &[
            "penny washer",
            "fender washer",
            "mudguard washer",
            "repair washer",
        ],
    ),
    group("hardware", &["grub screw", "headless screw"]),
    group(
        "hardware",
        &["socket head screw", "socket cap screw", "hex socket screw"],
    ),
    group("hardware", &["wing nut", "butterfly nut"]),
    group("hardware", &["coach bolt", "carriage bolt"]),
    group("hardware", &["coach screw", "lag screw", "lag bolt"]),
    group("hardware", &["captive nut", "cage nut"]),
    group(
        "hardware",
        &["self tapping screw", "self tapper", "sheet metal screw"],
    ),
    group("hardware", &["countersunk screw", "flat head screw"]),
    group("hardware", &["cheese head", "fillister head"]),
    group("hardware", &["clevis pin", "yoke pin"]),
    group("hardware", &["roll pin", "spring pin", "tension pin"]),
    group("hardware", &["woodruff key", "half moon key"]),
    group("hardware", &["dowel", "locating pin"]),
    group(
        "hardware",
        &["crush washer", "sealing washer", "copper washer"],
    ),
    group("hardware", &["pop rivet", "blind rivet"]),
    group("hardware", &["cable tie", "zip tie", "tie wrap"]),
    group("hardware", &["p clip", "cushion clamp"]),
    group("hardware", &["thread insert", "wire thread insert"]),
    group("hardware", &["distance piece", "spacer", "distance tube"]),
    group("hardware", &["dome nut", "acorn nut", "cap nut"]),
    group(
        "hardware",
        &["castle nut", "castellated nut", "slotted nut"],
    ),
    group("hardware", &["gasket paper", "jointing paper"]),
    // Tools. FALSE FRIENDS: a British box spanner is a tube, an American box
    // wrench is a ring; a British torch is a lamp, an American one has a flame.
    group("tools", &["spanner", "wrench"]),
    group(
        "tools",
        &[
            "adjustable spanner",
            "adjustable wrench",
            "shifting spanner",
        ],
    ),
    group("tools", &["ring spanner", "box end wrench", "box wrench"]),
    group("tools", &["box spanner", "tube spanner"]),
    group("tools", &["open ended spanner", "open end wrench"]),
    group("tools", &["hex key", "hexagon key"]),
    group(
        "tools",
        &["locking pliers", "self grip wrench", "self locking pliers"],
    ),
    group("tools", &["circlip pliers", "snap ring pliers"]),
    group("tools", &["water pump pliers", "slip joint pliers"]),
    group(
        "tools",
        &["side cutters", "diagonal cutters", "wire cutters"],
    ),
    group("tools", &["torch", "flashlight"]),
    group(
        "tools",
        &["blowlamp", "blow torch", "blowtorch", "propane torch"],
    ),
    group("tools", &["vice", "vise"]),
    group("tools", &["axle stand", "jack stand"]),
    group("tools", &["trolley jack", "floor jack"]),
    group("tools", &["engine hoist", "engine crane", "shop crane"]),
    group(
        "tools",
        &["ball joint splitter", "ball joint separator", "pickle fork"],
    ),
    group("tools", &["hub puller", "hub extractor"]),
    group("tools", &["stud extractor", "screw extractor", "easy out"]),
    group("tools", &["feeler gauge", "feeler gage", "feeler blade"]),
    group("tools", &["gauge", "gage"]),
    group("tools", &["dial gauge", "dial indicator"]),
    group("tools", &["pry bar", "crowbar", "wrecking bar", "jemmy"]),
    group("tools", &["tyre lever", "tire lever", "tire iron"]),
    group("tools", &["mallet", "soft faced hammer"]),
    group("tools", &["breaker bar", "knuckle bar", "power bar"]),
    group("tools", &["test lamp", "test light"]),
    group("tools", &["air line", "air hose"]),
    group("tools", &["spray gun", "paint gun"]),
    group("tools", &["drip tray", "drain pan", "catch pan"]),
    group("tools", &["creeper", "crawler board"]),
    group(
        "tools",
        &["vernier caliper", "slide caliper", "vernier gauge"],
    ),
    group("tools", &["emery cloth", "emery paper"]),
    group("tools", &["sandpaper", "glasspaper", "abrasive paper"]),
    group("tools", &["spirit level", "bubble level"]),
    // Materials. FALSE FRIENDS: British undercoat goes under paint, American
    // undercoating under the car, and both have one stem, so neither is here;
    // `filler` alone is also where the fuel goes in.
    group("materials", &["paraffin", "kerosene"]),
    group(
        "materials",
        &["white spirit", "mineral spirits", "turps substitute"],
    ),
    group(
        "materials",
        &["methylated spirit", "denatured alcohol", "meths"],
    ),
    group("materials", &["aluminium", "aluminum"]),
    group("materials", &["grey", "gray"]),
    group("materials", &["colour", "color"]),
    group("materials", &["body filler", "body putty", "knifing putty"]),
    group("materials", &["underseal", "underbody coating"]),
    group("materials", &["lacquer", "clear coat", "clearcoat"]),
    group("materials", &["two pack paint", "2k paint"]),
    group(
        "materials",
        &[
            "penetrating oil",
            "releasing oil",
            "easing oil",
            "penetrant",
        ],
    ),
    group("materials", &["copper grease", "anti seize", "antiseize"]),
    group(
        "materials",
        &["threadlock", "thread lock", "locking compound"],
    ),
    group(
        "materials",
        &["gasket sealant", "jointing compound", "gasket compound"],
    ),
    group("materials", &["galvanised", "galvanized"]),
    group("materials", &["chrome plating", "chromium plating"]),
    group("materials", &["wire wool", "steel wool"]),
    group("materials", &["rag", "shop towel"]),
    group(
        "materials",
        &["oxy acetylene", "oxyacetylene", "gas welding"],
    ),
    group(
        "materials",
        &["lead loading", "body lead", "lead filling", "body solder"],
    ),
    group("materials", &["rust", "corrosion"]),
    group(
        "materials",
        &["rust converter", "rust killer", "rust treatment"],
    ),
    group(
        "materials",
        &[
            "sandblasting",
            "sand blasting",
            "shot blasting",
            "grit blasting",
            "bead blasting",
            "media blasting",
            "abrasive blasting",
        ],
    ),
    group(
        "materials",
        &["leathercloth", "leatherette", "imitation leather", "vinyl"],
    ),
    group("materials", &["fibreboard", "fiberboard", "millboard"]),
    group(
        "materials",
        &[
            "fibreglass",
            "fiberglass",
            "glass fibre",
            "glass fiber",
            "grp",
        ],
    ),
    group("materials", &["fibre", "fiber"]),
    group(
        "materials",
        &["contact adhesive", "contact cement", "impact adhesive"],
    ),
    group(
        "materials",
        &[
            "distilled water",
            "deionised water",
            "deionized water",
            "demineralised water",
        ],
    ),
    group("materials", &["litre", "liter"]),
];

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;

    fn stemmed(text: &str) -> Vec<String> {
        words::words(text).map(|word| words::stem(&word)).collect()
    }

    /// The other names that the beginning of a text has, as stems.
    fn others(text: &str) -> Vec<String> {
        let stems = stemmed(text);
        let known = synonyms(&stems).map_or(Vec::new(), |known| known.others);
        let mut others: Vec<_> = known.iter().map(|stems| stems.join(" ")).collect();
        others.sort();
        others
    }

    #[test]
    fn the_table_is_large_folded_and_says_nothing_twice() {
        assert!(GROUPS.len() >= 140, "{} groups", GROUPS.len());
        let named = GROUPS.iter().flat_map(|group| group.words);
        let mut seen = HashMap::new();
        let mut twice = Vec::new();
        for text in named.chain(KEPT_TOGETHER) {
            assert_eq!(*text, words::words(text).collect::<Vec<_>>().join(" "));
            assert!(text.starts_with(beginning(&stems(text)[0])), "{text}");
            if let Some(before) = seen.insert(stems(text), text) {
                twice.push((before, text));
            }
        }
        assert!(twice.is_empty(), "the same: {twice:?}");
    }

    /// A question leaves joining words out before it looks for other names; such
    /// a name is found when it is written with hyphens.
    #[test]
    fn hardly_a_name_has_a_joining_word() {
        let joined: Vec<_> = GROUPS
            .iter()
            .flat_map(|group| group.words)
            .filter(|text| text.split(' ').any(words::is_stop_word))
            .collect();
        assert_eq!(joined, [&"oil pick up", &"toe in"]);
    }

    #[test]
    fn every_word_finds_all_the_others_and_is_found_by_them() {
        for group in GROUPS {
            for word in group.words {
                let stems = stemmed(word);
                let known = synonyms(&stems).unwrap_or_else(|| panic!("{word} is unknown"));
                assert_eq!(known.length, stems.len(), "{word}");
                for other in group.words {
                    let other = stemmed(other);
                    let says_less = other.iter().all(|word| stems.contains(word));
                    let found = known.others.contains(&other);
                    assert_eq!(found, !says_less, "{word}: {other:?}");
                }
            }
        }
    }

    #[test]
    fn the_longest_name_wins() {
        assert_eq!(others("shock absorbers"), ["damper"]);
        assert_eq!(others("gudgeon pin circlip"), ["piston pin", "wrist pin"]);
        assert_eq!(others("wing"), ["fender", "mudguard"]);
        assert_eq!(others("wing nuts"), ["butterfli nut"]);
        assert_eq!(
            others("fender washer"),
            ["mudguard washer", "penni washer", "repair washer"]
        );
    }

    #[test]
    fn false_friends_are_left_alone() {
        for text in [
            "gas",
            "ground clearance",
            "welding torch",
            "set screw",
            "points",
            "filler",
            "undercoat",
            "steering damper",
            "shock",
            "rocker",
            "motor",
            "spindle",
            "vice versa",
        ] {
            assert!(others(text).is_empty(), "{text}: {:?}", others(text));
        }
        assert!(!others("hood").contains(&"soft top".to_owned()));
    }
}

//! What vehicles and machines are called besides their names.

/// Common practice, no source.
const SORTS: [&str; 24] = [
    "bike",
    "bus",
    "car",
    "coupe",
    "digger",
    "estate",
    "excavator",
    "hatchback",
    "lorry",
    "machine",
    "motorbike",
    "motorcycle",
    "pickup",
    "project",
    "saloon",
    "scooter",
    "sedan",
    "shovel",
    "tractor",
    "trailer",
    "truck",
    "van",
    "vehicle",
    "wagon",
];

/// Whether a folded word says what sort of vehicle one is: "lorry", "machine".
#[must_use]
pub fn is_sort_of_vehicle(word: &str) -> bool {
    SORTS.binary_search(&word).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_of_the_list_is_found() {
        assert!(SORTS.iter().all(|sort| is_sort_of_vehicle(sort)));
        assert!(!is_sort_of_vehicle("wing"));
    }
}

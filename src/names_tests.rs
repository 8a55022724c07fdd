use super::*;

/// The definition itself: the first letters agree, or one of them is inserted, deleted or replaced.
fn by_definition(a: &[char], b: &[char]) -> usize {
    match (a, b) {
        ([], rest) | (rest, []) => rest.len(),
        ([first, a_rest @ ..], [other, b_rest @ ..]) if first == other => {
            by_definition(a_rest, b_rest)
        }
        ([_, a_rest @ ..], [_, b_rest @ ..]) => {
            let replaced = by_definition(a_rest, b_rest);
            1 + replaced
                .min(by_definition(a_rest, b))
                .min(by_definition(a, b_rest))
        }
    }
}

#[test]
fn distances_are_those_of_the_definition() {
    // Every word of up to four letters out of three.
    let mut words = vec![String::new()];
    for length in 0..4 {
        let longest: Vec<String> = words
            .iter()
            .filter(|word| word.len() == length)
            .cloned()
            .collect();
        words.extend(
            longest
                .iter()
                .flat_map(|word| ["a", "b", "c"].map(|letter| format!("{word}{letter}"))),
        );
    }
    assert_eq!(words.len(), 1 + 3 + 9 + 27 + 81);
    for a in &words {
        for b in &words {
            let letters = |word: &str| word.chars().collect::<Vec<_>>();
            assert_eq!(
                distance(a, b),
                by_definition(&letters(a), &letters(b)),
                "{a} {b}"
            );
        }
    }
    // Letters count, not bytes.
    assert_eq!(distance("\u{fc}ber", "uber"), 1);
}

const NAMES: [&str; 8] = [
    "N35",
    "N42",
    "N42SH",
    "Y30",
    "Y30BH",
    "Y33",
    "C-5 spring",
    "SmCo 26",
];

fn near(name: &str) -> String {
    match find("grade", name, &NAMES, |name| name) {
        Err(Error::UnknownName {
            quantity,
            given,
            near,
        }) => {
            assert_eq!((quantity, given.as_str()), ("grade", name));
            near
        }
        other => panic!("{name} must not be found: {other:?}"),
    }
}

#[test]
fn case_spaces_hyphens_and_underscores_make_no_difference() {
    for (given, meant) in [
        ("n42sh", "N42SH"),
        ("N 42-SH", "N42SH"),
        ("c5_SPRING", "C-5 spring"),
        ("smco26", "SmCo 26"),
    ] {
        let found = find("grade", given, &NAMES, |name| name);
        assert_eq!(found, Ok(&meant), "{given}");
    }
}

#[test]
fn an_unknown_name_is_answered_with_the_five_nearest() {
    // One letter away, in the order of the table; then what is two away, three for N42SH, the rest farther.
    assert_eq!(near("N43"), "N42, N35, Y33, N42SH, Y30");
    // What goes on where the name ends comes before what is nearer by its letters.
    assert_eq!(near("Y30B"), "Y30BH, Y30, Y33, N35, N42");
    assert_eq!(near("n4"), "N42, N42SH, N35, Y30, Y33");
}

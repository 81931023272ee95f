use std::ffi::OsString;

use super::{minus_hidden, with_minus};

fn round(arguments: &[&str]) -> Vec<String> {
    let hidden = minus_hidden(arguments.iter().map(OsString::from));
    hidden
        .iter()
        .map(|argument| argument.to_str().expect("text").to_owned())
        .collect()
}

#[test]
fn the_minus_of_a_value_is_hidden_and_found_again() {
    let hidden = round(&["trammel", "read", "z", "A", "-5/8", "in"]);
    assert!(!hidden[4].starts_with('-'), "{hidden:?}");
    assert_eq!(with_minus(&hidden[4]), "-5/8");
    assert_eq!(with_minus(&round(&["trammel", "read", "-.5"])[2]), "-.5");
}

#[test]
fn options_and_their_values_are_left_as_they_are() {
    let typed = ["trammel", "read", "z", "A", "--add", "-5 mm", "--note", "-", "-h"];
    assert_eq!(round(&typed), typed);
    let other = ["trammel", "point", "describe", "A", "-5"];
    assert_eq!(round(&other), other);
}

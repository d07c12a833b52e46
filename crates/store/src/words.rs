//! The words by which a job is found: the same on every database, since it is we who cut them.

use std::collections::BTreeSet;

/// The longest word that is kept, in bytes; a longer one is found by its beginning.
const LONGEST: usize = 40;

/// Returns the words of a text: small letters, accents off, cut at everything that is no letter or digit.
pub fn of(text: &str) -> BTreeSet<String> {
    let mut words = BTreeSet::new();
    let mut word = String::new();
    for sign in text.chars().chain([' ']) {
        if sign.is_alphanumeric() {
            for small in sign.to_lowercase() {
                match plain(small) {
                    Some(plain) => word.push_str(plain),
                    None => word.push(small),
                }
            }
        } else if !word.is_empty() {
            let end = (0..=LONGEST.min(word.len())).rev().find(|end| word.is_char_boundary(*end));
            word.truncate(end.unwrap_or(0));
            words.insert(std::mem::take(&mut word));
        }
    }
    words
}

/// Returns the letters that stand for an accented one.
const fn plain(letter: char) -> Option<&'static str> {
    Some(match letter {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => "a",
        'ç' => "c",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ñ' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => "o",
        'ù' | 'ú' | 'û' | 'ü' => "u",
        'ý' | 'ÿ' => "y",
        'æ' => "ae",
        'œ' => "oe",
        'ß' => "ss",
        _ => return None,
    })
}

/// Returns the least text that is greater than every word beginning with `word`.
pub fn end_of_prefix(word: &str) -> String {
    // The greatest character: nothing that is a letter or digit comes after it.
    format!("{word}\u{10FFFF}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_cut_and_made_plain() {
        let found: Vec<String> = of("Évaporateur 7, R-448A; cœur/ŒUVRE 12,5").into_iter().collect();
        assert_eq!(found, ["12", "448a", "5", "7", "coeur", "evaporateur", "oeuvre", "r"]);
        assert!(of("").is_empty());
        assert_eq!(of(&"x".repeat(100)).iter().next().map(String::len), Some(LONGEST));
    }
}

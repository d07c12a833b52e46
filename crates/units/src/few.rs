//! Sorting of lists that are short by nature.

use core::cmp::Ordering;

/// Sorts a short list, equal items in the order they had: what `sort_by` gives, in a tenth of its code.
///
/// For some dozens of items, or many that are nearly in order: the time grows with the square of what is out of order. The
/// standard library's sort is some 4 kB in the phone's program for every kind of item it is used for.
pub fn sort_few<T>(items: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    for end in 1..items.len() {
        let mut at = end;
        while at > 0 && compare(&items[at - 1], &items[at]) == Ordering::Greater {
            items.swap(at - 1, at);
            at -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::sort_few;

    proptest::proptest! {
        #[test]
        fn it_sorts_as_the_standard_library_does(mut items: Vec<(u8, u32)>) {
            let mut wanted = items.clone();
            wanted.sort_by_key(|item| item.0);
            sort_few(&mut items, |a, b| a.0.cmp(&b.0));
            proptest::prop_assert_eq!(items, wanted);
        }
    }
}

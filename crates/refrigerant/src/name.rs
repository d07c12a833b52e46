//! Names as people type them.

/// Returns a designation without what people leave out or add: case, spaces, dashes, the letter R or the class.
pub(crate) fn plain(name: &str) -> String {
    let mut out: String = name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    for prefix in ["refrigerant", "hcfc", "hcfo", "hfc", "hfo", "cfc", "hc", "r"] {
        if let Some(rest) = out.strip_prefix(prefix)
            && rest.starts_with(|c: char| c.is_ascii_digit())
        {
            out = rest.to_owned();
            break;
        }
    }
    out
}

/// Returns the number of single-letter edits between two short names, a swap of neighbours counting as one.
pub(crate) fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut rows: Vec<Vec<usize>> = vec![(0..=b.len()).collect()];
    for i in 1..=a.len() {
        let mut row = vec![i];
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            let mut best = (rows[i - 1][j] + 1).min(row[j - 1] + 1).min(rows[i - 1][j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(rows[i - 2][j - 2] + 1);
            }
            row.push(best);
        }
        rows.push(row);
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_leave_out_makes_no_difference() {
        for name in ["R-404A", "R404A", "404a", "r 404a", "R 404 A", "HFC-404A", " r-404a "] {
            assert_eq!(plain(name), "404a", "{name}");
        }
        assert_eq!(plain("R-1234ze(E)"), "1234zee");
        assert_eq!(plain("nitrogen"), "nitrogen");
    }

    #[test]
    fn a_swap_is_one_edit() {
        assert_eq!(distance("404a", "440a"), 1);
        assert_eq!(distance("404a", "407a"), 1);
        assert_eq!(distance("", "abc"), 3);
    }
}

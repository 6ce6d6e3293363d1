//! Sorting of short lists.

/// Sorts by `before`, which says whether its first argument belongs before its second; equals keep their order.
///
/// Insertion: the lists of a package are short, and every use of the standard library's sort would add some 4 kB to the
/// page.
pub(crate) fn sort_short<T>(items: &mut [T], mut before: impl FnMut(&T, &T) -> bool) {
    for end in 1..items.len() {
        let mut at = end;
        while at > 0 && before(&items[at], &items[at - 1]) {
            items.swap(at, at - 1);
            at -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sorts_and_keeps_the_order_of_equals() {
        let mut items = vec![(2, 'a'), (1, 'b'), (2, 'c'), (0, 'd'), (1, 'e')];
        sort_short(&mut items, |a, b| a.0 < b.0);
        assert_eq!(items, [(0, 'd'), (1, 'b'), (1, 'e'), (2, 'a'), (2, 'c')]);
        let mut empty: [u8; 0] = [];
        sort_short(&mut empty, |a, b| a < b);
    }
}

//! Neighbours in a list.

/// Returns each item with the one after it; there is nothing to say what stands for a neighbour that is not there.
pub(crate) fn pairs<T>(items: &[T]) -> impl Iterator<Item = (&T, &T)> + Clone {
    items.iter().zip(items.iter().skip(1))
}

#[cfg(test)]
mod tests {
    use super::pairs;

    #[test]
    fn each_item_stands_with_the_next() {
        assert_eq!(pairs(&[1, 2, 3]).collect::<Vec<_>>(), [(&1, &2), (&2, &3)]);
        assert_eq!(pairs(&[1]).count() + pairs::<i32>(&[]).count(), 0);
    }
}

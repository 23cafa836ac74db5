//! Short words of a sheet: how many mats, and the steps to tick off.

use kurbo::Rect;

use crate::mat::Mat;

/// Says how many mats of a kind are made.
pub(super) fn quantity(mat: &Mat) -> String {
    if mat.quantity == 1 { "1 mat".to_owned() } else { format!("{} mats", mat.quantity) }
}

/// Lists the steps of the work, in order.
pub(super) fn steps(mat: &Mat) -> Vec<String> {
    let decorated = mat.layers.iter().any(|layer| !layer.decoration.is_empty());
    let several = mat.layers.len() > 1;
    let steps = [
        (true, "blanks cut"),
        (true, "openings cut"),
        (decorated, "face worked"),
        (several, "boards joined"),
        (true, "art fixed"),
        (mat.package.frame.is_some(), "glass and backing"),
        (mat.package.frame.is_some(), "in the frame"),
        (true, "checked"),
    ];
    steps.into_iter().filter(|(wanted, _)| *wanted).map(|(_, step)| step.to_owned()).collect()
}

/// Shows a size as read off the ruler.
pub(super) fn size(mat: &Mat, rect: Rect) -> String {
    mat.ruler.show_size(rect.width(), rect.height())
}

/// Puts a number to others of which the same is said.
pub(super) fn gather<T: PartialEq>(kinds: &mut Vec<(T, Vec<usize>)>, said: T, number: usize) {
    match kinds.iter_mut().find(|(known, _)| *known == said) {
        Some((_, numbers)) => numbers.push(number),
        None => kinds.push((said, vec![number])),
    }
}

/// Writes numbers as people do: `1`, `1, 3` or `1–4, 7`.
pub(super) fn ranges(numbers: &[usize]) -> String {
    let mut ranges: Vec<(usize, usize)> = Vec::new();
    for &number in numbers {
        match ranges.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => ranges.push((number, number)),
        }
    }
    let shown = ranges.into_iter().map(|(first, last)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first}–{last}"),
    });
    shown.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    #[test]
    fn runs_of_numbers_are_joined() {
        for (numbers, expected) in [(&[1][..], "1"), (&[1, 2], "1, 2"), (&[1, 2, 3, 7], "1–3, 7"), (&[], "")] {
            assert_eq!(super::ranges(numbers), expected);
        }
    }
}

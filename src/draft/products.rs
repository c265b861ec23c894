//! Every choice of one from each of several lists, by their places: the first list turns fastest.

/// Every choice of one from each of several lists, of which the lengths are given; none where a list is empty.
pub(super) struct Products {
    lengths: Vec<usize>,
    next: Option<Vec<usize>>,
}

impl Products {
    /// Of lists of these lengths.
    pub fn of(lengths: Vec<usize>) -> Products {
        let any = lengths.iter().all(|length| *length > 0);
        Products {
            next: any.then(|| vec![0; lengths.len()]),
            lengths,
        }
    }
}

impl Iterator for Products {
    type Item = Vec<usize>;

    fn next(&mut self) -> Option<Vec<usize>> {
        let now = self.next.take()?;
        let mut after = now.clone();
        for (at, length) in after.iter_mut().zip(&self.lengths) {
            *at += 1;
            if *at < *length {
                self.next = Some(after);
                break;
            }
            *at = 0;
        }
        Some(now)
    }
}

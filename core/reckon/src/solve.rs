//! Systems of linear equations.

/// Solves a square system by elimination with the largest pivot; none where it has no one solution.
///
/// Each row holds the coefficients and then the right side. A pivot is taken for nothing where it is below `1e-12` of the largest
/// coefficient of its row.
pub(crate) fn solved(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let n = rows.len();
    // Rows to one size, so that a pivot can be judged.
    for row in &mut rows {
        if row.len() != n + 1 {
            return None;
        }
        let largest = row
            .iter()
            .take(n)
            .fold(0.0_f64, |most, one| most.max(one.abs()));
        if largest <= 0.0 || !largest.is_finite() {
            return None;
        }
        for one in row {
            *one /= largest;
        }
    }
    for column in 0..n {
        let (pivot_idx, pivot) = rows
            .iter()
            .enumerate()
            .skip(column)
            .map(|(idx, row)| (idx, row.get(column).copied().unwrap_or_default()))
            .max_by(|one, other| one.1.abs().total_cmp(&other.1.abs()))?;
        if pivot.abs() < 1e-12 || pivot.is_nan() {
            return None;
        }
        rows.swap(column, pivot_idx);
        let (upper, lower) = rows.split_at_mut(column + 1);
        let pivot_row = upper.last()?;
        for row in lower {
            let factor = row.get(column)? / pivot;
            if factor.abs() > 0.0 {
                for (one, above) in row.iter_mut().zip(pivot_row).skip(column) {
                    *one -= factor * above;
                }
            }
        }
    }
    let mut found = vec![0.0; n];
    for (idx, row) in rows.iter().enumerate().rev() {
        let known: f64 = row
            .iter()
            .take(n)
            .zip(&found)
            .skip(idx + 1)
            .map(|(coefficient, value)| coefficient * value)
            .sum();
        let value = (row.get(n)? - known) / row.get(idx)?;
        if !value.is_finite() {
            return None;
        }
        if let Some(slot) = found.get_mut(idx) {
            *slot = value;
        }
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::solved;

    #[test]
    fn three_equations_are_solved_and_a_repeated_one_is_refused() {
        let rows = |last: [f64; 4]| {
            vec![
                vec![0.0, 2.0, 1.0, 7.0],
                vec![1.0, 1.0, 1.0, 6.0],
                last.to_vec(),
            ]
        };
        let found = solved(rows([2.0, -1.0, 0.0, 0.0])).unwrap();
        for (found, expected) in found.iter().zip([1.0, 2.0, 3.0]) {
            assert!((found - expected).abs() < 1e-12);
        }
        assert_eq!(solved(rows([2.0, 2.0, 2.0, 12.0])), None);
    }
}

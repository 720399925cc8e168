//! Least squares, equation by equation.

/// The triangle that is left of a system of equations in `N` unknowns when each has been turned in by Givens rotations.
///
/// Source: Golub and Van Loan, *Matrix Computations*, 4th edition, 2013, section 5.2.5 (Givens QR).
#[derive(Clone, Debug)]
pub(super) struct Equations<const N: usize> {
    triangle: [[f64; N]; N],
    right: [f64; N],
}

#[expect(
    clippy::indexing_slicing,
    clippy::needless_range_loop,
    reason = "every position runs below the arrays' constant length, and rows and columns are named as in the source"
)]
impl<const N: usize> Equations<N> {
    pub(super) fn new() -> Self {
        Self {
            triangle: [[0.0; N]; N],
            right: [0.0; N],
        }
    }

    /// Takes an equation in: the sum of `left` times the unknowns is `right`.
    pub(super) fn add(&mut self, mut left: [f64; N], mut right: f64) {
        for i in 0..N {
            let (a, b) = (self.triangle[i][i], left[i]);
            let length = (a * a + b * b).sqrt();
            if length <= 0.0 {
                continue;
            }
            let (cosine, sine) = (a / length, b / length);
            for j in i..N {
                let (above, below) = (self.triangle[i][j], left[j]);
                self.triangle[i][j] = cosine * above + sine * below;
                left[j] = cosine * below - sine * above;
            }
            let above = self.right[i];
            self.right[i] = cosine * above + sine * right;
            right = cosine * right - sine * above;
        }
    }

    /// Returns the unknowns, unless the equations leave some of them open.
    pub(super) fn solved(&self) -> Option<[f64; N]> {
        let diagonal = (0..N).map(|i| self.triangle[i][i].abs());
        let (least, most) = diagonal.fold((f64::INFINITY, 0.0_f64), |(least, most), value| {
            (least.min(value), most.max(value))
        });
        if least <= most * 1e-10 {
            return None;
        }
        let mut unknowns = [0.0; N];
        for i in (0..N).rev() {
            let mut sum = self.right[i];
            for j in i + 1..N {
                sum -= self.triangle[i][j] * unknowns[j];
            }
            unknowns[i] = sum / self.triangle[i][i];
        }
        unknowns
            .iter()
            .all(|value| value.is_finite())
            .then_some(unknowns)
    }

    /// Returns the variance of a value that grows by `slopes` with the unknowns, when each equation has the variance 1.
    pub(super) fn variance(&self, slopes: [f64; N]) -> f64 {
        let mut out = 0.0;
        let mut part = [0.0; N];
        for i in 0..N {
            let mut sum = slopes[i];
            for j in 0..i {
                sum -= self.triangle[j][i] * part[j];
            }
            part[i] = sum / self.triangle[i][i];
            out += part[i] * part[i];
        }
        out
    }
}

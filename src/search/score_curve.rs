//! The curve through the scores of a few instants.

/// The curve through three instants, and through a fourth if there is one.
///
/// From the middle one to u seconds after it, it rises by `slope` u - `bend` u^2 +
/// `twist` u (u + `left`) (u - `right`) points.
pub(super) struct Curve {
    left: f64,
    right: f64,
    slope: f64,
    pub bend: f64,
    twist: f64,
}

impl Curve {
    /// Through instants, seconds, with their scores; `None` where the three lie on a
    /// level line, or have no scores.
    pub fn through([low, top, high]: [(f64, f64); 3], beside: Option<(f64, f64)>) -> Option<Self> {
        let [left, right] = [top.0 - low.0, high.0 - top.0];
        let [up, down] = [top.1 - low.1, top.1 - high.1];
        let scale = left * right * (left + right);
        let parabola = Self {
            left,
            right,
            slope: (right * right * up - left * left * down) / scale,
            bend: (left * down + right * up) / scale,
            twist: 0.0,
        };
        // No comparison holds of a score that is no number.
        let bends_down = parabola.bend > 0.0 && left > 0.0 && right > 0.0;
        let twist = beside.map_or(0.0, |(seconds, score)| {
            let off = seconds - top.0;
            (score - top.1 - parabola.rise(off)) / parabola.twisted(off)
        });
        let twist = if twist.is_finite() { twist } else { 0.0 };
        bends_down.then_some(Self { twist, ..parabola })
    }

    /// How far its top is from the middle instant, seconds; that of the parabola
    /// where the twist leaves none between the three.
    pub fn vertex(&self) -> f64 {
        let Self {
            left,
            right,
            slope,
            bend,
            twist,
        } = *self;
        let plain = 0.5 * slope / bend;
        let [a, half, c] = [
            3.0 * twist,
            bend + twist * (right - left),
            slope - twist * left * right,
        ];
        // a u^2 - 2 half u + c = 0, the root that stays where there is no twist.
        let root = half * half - a * c;
        let top = c / (half + root.sqrt());
        if half > 0.0 && top > -left && top < right {
            top
        } else {
            plain
        }
    }

    /// How much higher it is so many seconds off.
    pub fn rise(&self, off: f64) -> f64 {
        off * (self.slope - self.bend * off) + self.twist * self.twisted(off)
    }

    /// How much higher a twist of one makes it there.
    fn twisted(&self, off: f64) -> f64 {
        off * (off + self.left) * (off - self.right)
    }
}

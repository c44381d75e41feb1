//! Sums as they are written on paper: `+ - * / ^`, parentheses, `sqrt`, `tan` of degrees, and `up` and `down` to so many
//! digits after the point.

/// How far a figure that is rounded against the route may be from the sum.
const NEAR: f64 = 0.1;

/// Demands that a line `sum = figure` or `sum ~ figure` holds; gives the figure.
pub(super) fn holds<'a>(page: &str, line: &'a str) -> &'a str {
    let (exact, sum, figure) = match (line.split_once(" = "), line.split_once(" ~ ")) {
        (Some((sum, figure)), _) => (true, sum, figure),
        (None, Some((sum, figure))) => (false, sum, figure),
        (None, None) => panic!("{page}: «{line}» is no sum"),
    };
    let value = Sum { rest: sum }.whole();
    let digits = figure.split_once('.').map_or(0, |(_, digits)| digits.len());
    let said: f64 = figure.parse().expect("a number");
    let fits = if exact { format!("{value:.digits$}") == figure } else { (value - said).abs() <= NEAR };
    assert!(fits, "{page}: {sum} is {value}, not {figure}");
    figure
}

/// What is left to read of a sum.
struct Sum<'a> {
    rest: &'a str,
}

impl Sum<'_> {
    fn whole(mut self) -> f64 {
        let value = self.terms();
        assert!(self.rest.trim().is_empty(), "«{}» is left of a sum", self.rest);
        value
    }

    /// Takes a sign if it is next.
    fn takes(&mut self, sign: char) -> bool {
        let rest = self.rest.trim_start().strip_prefix(sign);
        self.rest = rest.unwrap_or(self.rest);
        rest.is_some()
    }

    fn terms(&mut self) -> f64 {
        let mut value = self.factors();
        loop {
            if self.takes('+') {
                value += self.factors();
            } else if self.takes('-') {
                value -= self.factors();
            } else {
                return value;
            }
        }
    }

    fn factors(&mut self) -> f64 {
        let mut value = self.power();
        loop {
            if self.takes('*') {
                value *= self.power();
            } else if self.takes('/') {
                value /= self.power();
            } else {
                return value;
            }
        }
    }

    fn power(&mut self) -> f64 {
        let base = self.value();
        if self.takes('^') { base.powf(self.value()) } else { base }
    }

    fn value(&mut self) -> f64 {
        self.rest = self.rest.trim_start();
        let end = self.rest.find(|c: char| !c.is_ascii_alphanumeric() && c != '.').unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        self.rest = rest;
        match word {
            "" => self.bracketed(),
            "sqrt" => self.bracketed().sqrt(),
            "tan" => self.bracketed().to_radians().tan(),
            "up" => self.rounded(f64::ceil),
            "down" => self.rounded(f64::floor),
            number => number.parse().unwrap_or_else(|_| panic!("«{number}» is no number")),
        }
    }

    fn bracketed(&mut self) -> f64 {
        assert!(self.takes('('), "( is missing before «{}»", self.rest);
        let value = self.terms();
        assert!(self.takes(')'), ") is missing before «{}»", self.rest);
        value
    }

    fn rounded(&mut self, round: fn(f64) -> f64) -> f64 {
        assert!(self.takes('('), "( is missing before «{}»", self.rest);
        let value = self.terms();
        assert!(self.takes(','), "digits are missing before «{}»", self.rest);
        let scale = 10_f64.powf(self.terms());
        assert!(self.takes(')'), ") is missing before «{}»", self.rest);
        // What is whole but for the last bits of a binary fraction isn't rounded away.
        let scaled = value * scale;
        if (scaled - scaled.round()).abs() < 1e-6 { scaled.round() / scale } else { round(scaled) / scale }
    }
}

#[test]
fn sums_are_worked_out() {
    for line in ["1 + 2 * 3 = 7", "(1 + 2) * 3 - 4 / 2 = 7", "2 * 3^2 = 18", "sqrt(9 + 16) + tan(45) = 6.0"] {
        holds("here", line);
    }
    for line in ["up(1.234, 2) = 1.24", "down(1.239, 2) = 1.23", "up(1.1 * 3, 1) = 3.3", "3 ~ 3.09", "2 - 5 = -3.00"] {
        holds("here", line);
    }
}

#[test]
#[should_panic(expected = "not 1.23")]
fn a_wrong_figure_is_seen() {
    holds("here", "up(1.234, 2) = 1.23");
}

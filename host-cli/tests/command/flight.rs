//! Logs of flights that never were: invented power curves, flown by an invented pilot, logged with noise.

use std::fmt::Write as _;

/// A power curve: airspeed in m/s to W.
pub(crate) type Curve = fn(f64) -> f64;

/// A valley at 6 m/s.
pub(crate) fn valley(airspeed: f64) -> f64 {
    180.0 - 30.0 * (-((airspeed - 6.0) / 3.0).powi(2)).exp() + 0.06 * airspeed.powi(3)
}

/// The more speed the more power, from the first metre on.
pub(crate) fn rising(airspeed: f64) -> f64 {
    95.0 + 2.0 * airspeed + 0.4 * airspeed.powi(2)
}

/// Flat, then steep: drag decides.
pub(crate) fn steep(airspeed: f64) -> f64 {
    420.0 / (1.0 + (airspeed / 9.0).powi(2)).sqrt() + 0.25 * airspeed.powi(3)
}

/// What climbing takes above hover, W for each m/s.
pub(crate) const LIFT: f64 = 20.0;
/// The pilot climbs with so much, m/s.
pub(crate) const CLIMB: f64 = 2.0;

/// How a flight is flown and logged.
#[derive(Clone)]
pub(crate) struct Flight {
    pub(crate) seed: u64,
    pub(crate) curve: Curve,
    /// Rows a second.
    pub(crate) rate: f64,
    /// Standard deviation of the current, as a part.
    pub(crate) noise: f64,
    /// Speeds flown, m/s, and for how long, half out and half back, s.
    pub(crate) legs: Vec<(f64, f64)>,
    /// Hovered for, s.
    pub(crate) hover: f64,
    /// Climbed for, s.
    pub(crate) climb: f64,
    /// Of the air along the legs, m/s.
    pub(crate) wind: f64,
    /// On the ground before and after, s.
    pub(crate) ground: f64,
    /// Whether rows are lost, doubled or spoilt.
    pub(crate) faults: bool,
    /// Positions and heights with so much noise, m, instead of speeds and climb rates.
    pub(crate) positions: Option<f64>,
}

impl Flight {
    /// A flight with everything in it.
    pub(crate) fn new(seed: u64, curve: Curve) -> Self {
        let legs = [2.0, 4.0, 6.0, 8.0, 10.0, 12.0].map(|speed| (speed, 60.0)).to_vec();
        Self {
            seed,
            curve,
            rate: 5.0,
            noise: 0.04,
            legs,
            hover: 60.0,
            climb: 20.0,
            wind: 0.0,
            ground: 30.0,
            faults: true,
            positions: None,
        }
    }

    /// The log.
    pub(crate) fn csv(&self) -> String {
        let mut pilot = Pilot {
            flight: self,
            random: fastrand::Rng::with_seed(self.seed),
            time: 100.0,
            speed: 0.0,
            east: 0.0,
            height: 0.0,
            text: String::new(),
        };
        pilot.text.push_str(match self.positions {
            None => "time_s,ground_speed_m_s,climb_rate_m_s,volts,amperes\n",
            Some(_) => "time_s,lat,lon,height_m,volts,amperes\n",
        });
        pilot.fly();
        pilot.text
    }
}

struct Pilot<'f> {
    flight: &'f Flight,
    random: fastrand::Rng,
    time: f64,
    speed: f64,
    east: f64,
    height: f64,
    text: String,
}

impl Pilot<'_> {
    fn fly(&mut self) {
        let Flight { hover, climb, ground, ref legs, faults, .. } = *self.flight;
        self.hold(ground, 0.0, Some(8.0));
        self.hold(climb, CLIMB, None);
        self.hold(hover / 2.0, 0.0, None);
        for (speed, seconds) in legs {
            for way in [1.0, -1.0] {
                self.change_to(way * speed);
                self.hold(seconds / 2.0, 0.0, None);
                self.change_to(0.0);
            }
        }
        if faults {
            // The log pauses while the flight goes on.
            self.time += 45.0;
        }
        self.hold(hover / 2.0, 0.0, None);
        self.hold(climb * CLIMB, -1.0, None);
        self.hold(ground, 0.0, Some(8.0));
    }

    /// Speeds up or slows down with 2 m/s^2.
    fn change_to(&mut self, speed: f64) {
        let step = 2.0 / self.flight.rate;
        while (self.speed - speed).abs() > step {
            self.speed += step.copysign(speed - self.speed);
            self.row(0.0, None);
        }
        self.speed = speed;
    }

    fn hold(&mut self, seconds: f64, climb: f64, watts: Option<f64>) {
        for _ in 0..(seconds * self.flight.rate) as u64 {
            self.row(climb, watts);
        }
    }

    fn row(&mut self, climb: f64, watts: Option<f64>) {
        let step = 1.0 / self.flight.rate;
        self.time += step;
        self.east += self.speed * step;
        self.height += climb * step;
        let lift = if climb > 0.0 { LIFT * climb } else { 10.0 * climb };
        let watts = watts.unwrap_or((self.flight.curve)((self.speed + self.flight.wind).abs()) + lift);
        let volts = 16.6 - 0.0015 * (self.time - 100.0);
        let amperes = (watts / volts * (1.0 + self.flight.noise * self.gauss())).max(0.0);
        let motion = self.motion(climb);
        let time = self.time;
        let row = match self.fault() {
            1 => return,
            2 => format!("{time:.3},{motion},{volts:.2},\n"),
            3 => format!("{time:.3},{motion},{volts:.2},NaN\n"),
            4 => format!("{time:.3},{motion},{volts:.2},{:.2}\n", amperes * 6.0),
            5 => format!("{time:.3},{motion},{volts:.2},0.00\n"),
            6 => format!("{time:.3},{motion},{volts:.2},{amperes:.2}\n").repeat(2),
            _ => format!("{time:.3},{motion},{volts:.2},{amperes:.2}\n"),
        };
        self.text.push_str(&row);
    }

    /// Every fault comes to one row in 200; 0 is none.
    fn fault(&mut self) -> u64 {
        if self.flight.faults { self.random.u64(0..200) } else { 0 }
    }

    fn motion(&mut self, climb: f64) -> String {
        let mut text = String::new();
        match self.flight.positions {
            None => {
                let speed = (self.speed.abs() + 0.05 * self.gauss()).max(0.0);
                write!(text, "{speed:.2},{:.2}", climb + 0.05 * self.gauss()).expect("text");
            }
            Some(noise) => {
                let [north, east, up] = [0.0, self.east, self.height].map(|true_one| true_one + noise * self.gauss());
                // At 60 degrees a degree of longitude is 55800 m long, one of latitude 111412 m (WGS 84, from memory).
                let (lat, lon) = (60.0 + north / 111_412.0, 20.0 + east / 55_800.0);
                write!(text, "{lat:.8},{lon:.8},{up:.2}").expect("text");
            }
        }
        text
    }

    /// A normally distributed number (Box and Muller).
    fn gauss(&mut self) -> f64 {
        let (radius, angle) = (self.random.f64(), self.random.f64());
        (-2.0 * (1.0 - radius).ln()).sqrt() * (std::f64::consts::TAU * angle).cos()
    }
}

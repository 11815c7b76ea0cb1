//! The adjustment against published examples, arithmetic written out, and a general solver.

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned};
use plan::Point;
use proptest::prelude::*;
use startrow_taping::{Doubt, Network, Span, Trouble, adjust, misclosure};

fn span(from: usize, to: usize, length: f64) -> Span {
    Span { from, to, length, good_to: 3.0 }
}

/// The same problem for the general solver: MINPACK's Levenberg–Marquardt as the crate `levenberg-marquardt` has it. It
/// knows nothing of the datum: the shape may lie anywhere.
#[derive(Clone)]
struct General {
    network: Network,
    x: DVector<f64>,
}

impl General {
    fn new(network: &Network) -> Self {
        let free = (0..network.points.len()).filter(|i| !network.held.contains(i));
        let x = free.flat_map(|i| [network.points[i].x, network.points[i].y]).collect::<Vec<_>>();
        Self { network: network.clone(), x: DVector::from_vec(x) }
    }

    fn points(&self) -> Vec<Point> {
        let mut at = 0;
        let place = |(i, p): (usize, &Point)| {
            if self.network.held.contains(&i) {
                return *p;
            }
            at += 2;
            Point::new(self.x[at - 2], self.x[at - 1])
        };
        self.network.points.iter().enumerate().map(place).collect()
    }

    fn solve(self) -> (Vec<Point>, f64) {
        let (solved, report) = LevenbergMarquardt::new().with_patience(500).minimize(self);
        assert!(report.termination.was_successful(), "{:?}", report.termination);
        (solved.points(), 2.0 * report.objective_function)
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for General {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, x: &DVector<f64>) {
        self.x.copy_from(x);
    }

    fn params(&self) -> DVector<f64> {
        self.x.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let points = self.points();
        let off = |s: &Span| (points[s.from].distance(points[s.to]) - s.length) / s.good_to;
        Some(DVector::from_vec(self.network.spans.iter().map(off).collect()))
    }

    /// By differences: another way than the crate's own derivatives.
    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let step = 1e-3;
        let columns: Vec<DVector<f64>> = (0..self.x.len())
            .map(|i| {
                let moved = |by: f64| {
                    let mut other = self.clone();
                    other.x[i] += by;
                    other.residuals().expect("always")
                };
                (moved(step) - moved(-step)) / (2.0 * step)
            })
            .collect();
        Some(DMatrix::from_columns(&columns))
    }
}

/// C. D. Ghilani and P. R. Wolf, *Adjustment Computations*, example 14.2: a station U from three control stations,
/// distances 6049.00, 4736.83 and 5446.49 ft (data as printed in the course resources to chapter 14). What it must come
/// to is worked out here by the general solver and by the condition of a least sum: the pulls of the residuals along
/// their lines cancel at U.
#[test]
fn ghilani_and_wolf_example_14_2() {
    let points = [(865.40, 4527.15), (2432.55, 2047.25), (2865.22, 27.15), (6700.0, 4100.0)].map(Point::from);
    let spans = vec![span(0, 3, 6049.00), span(1, 3, 4736.83), span(2, 3, 5446.49)];
    let network = Network { points: points.to_vec(), held: vec![0, 1, 2], spans };
    let adjusted = adjust(&network).unwrap();
    let at = adjusted.points[3];
    let (general, _) = General::new(&network).solve();
    assert!(at.distance(general[3]) < 1e-4, "{at:?} {:?}", general[3]);
    let pulls = adjusted.fitted.iter().zip(&points).map(|(fitted, from)| {
        let length = from.distance(at);
        ((at.x - from.x) / length * fitted.residual, (at.y - from.y) / length * fitted.residual)
    });
    let sum = pulls.fold((0.0, 0.0), |sum, pull| (sum.0 + pull.0, sum.1 + pull.1));
    assert!(sum.0.abs() < 1e-6 && sum.1.abs() < 1e-6, "{sum:?}");
    assert_eq!(adjusted.redundancy, 1, "three distances, two unknowns");
    // To the hundredth of a foot, as that book gives its lengths.
    let residuals: Vec<f64> = adjusted.fitted.iter().map(|f| (f.residual * 100.0).round() / 100.0).collect();
    assert_eq!(residuals, [-0.04, 0.08, -0.05]);
}

/// Sides 4000, 3000, 4000, 3000 and both diagonals 5010, all as good. By symmetry the best shape is a rectangle a × b
/// with diagonal d, and 2(a−4000)² + 2(b−3000)² + 2(d−5010)² is least where (a−4000)/a = (b−3000)/b = (5010−d)/d:
/// with a = 4000·k, b = 3000·k, d = 5000·k, 1 − 1/k = 5010/(5000·k) − 1, so k = 1.001. Residuals +4 +3 +4 +3 −5 −5.
#[test]
fn a_rectangle_worked_out_by_hand() {
    let points = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from).to_vec();
    let lengths =
        [(0, 1, 4000.0), (1, 2, 3000.0), (2, 3, 4000.0), (3, 0, 3000.0), (0, 2, 5010.0), (1, 3, 5010.0)];
    let spans = lengths.map(|(a, b, length)| span(a, b, length)).to_vec();
    let adjusted = adjust(&Network { points, held: Vec::new(), spans }).unwrap();
    for (fitted, expected) in adjusted.fitted.iter().zip([4.0, 3.0, 4.0, 3.0, -5.0, -5.0]) {
        assert!((fitted.residual - expected).abs() < 1e-6, "{fitted:?}");
    }
    // Σ v²/σ² = (16+9+16+9+25+25)/9 over one redundant length.
    assert!((adjusted.unit.unwrap() - (100.0_f64 / 9.0).sqrt()).abs() < 1e-9);
    // One redundant length: every residual is of one misclosure, and no length stands out from the others.
    let scores: Vec<f64> = adjusted.fitted.iter().map(|f| f.score.unwrap().abs()).collect();
    assert!(scores.iter().all(|score| (score - 10.0 / 3.0).abs() < 1e-6), "{scores:?}");
    assert_eq!(adjusted.points.len(), 4);
    assert!(matches!(Doubt::of(&adjusted), Doubt::Among(several) if several.len() == 6));
}

/// Purdue University, ASM 215, *Traverse calculations*: bearings and lengths of five sides; with each side's latitude and
/// departure to the hundredth they miss by −0.71 and +0.53, that is 0.89 in 2466.05, 1 in 2771. Angles from north,
/// clockwise.
#[test]
fn a_traverse_misses_as_published() {
    let sides = [
        (26.0 + 10.0 / 60.0, 285.10),
        (104.0 + 35.0 / 60.0, 610.45),
        (195.0 + 30.0 / 60.0, 720.48),
        (358.0 + 18.0 / 60.0, 203.00),
        (306.0 + 54.0 / 60.0, 647.02),
    ];
    let along = |azimuth: f64| {
        let turn = azimuth.to_radians();
        Point::new(libm::sin(turn), libm::cos(turn))
    };
    let hundredth = |value: f64| (value * 100.0).round() / 100.0;
    // As the page does it: side by side, each to the hundredth.
    let rounded = sides.map(|(azimuth, length)| {
        let side = misclosure([(length, along(azimuth))]).gap;
        (hundredth(side.x), hundredth(side.y))
    });
    let sum = rounded.iter().fold((0.0, 0.0), |sum, side| (sum.0 + side.0, sum.1 + side.1));
    assert_eq!((hundredth(sum.0), hundredth(sum.1)), (0.53, -0.71));
    // All at once: five roundings of half a hundredth lie between.
    let found = misclosure(sides.map(|(azimuth, length)| (length, along(azimuth))));
    assert!((found.perimeter - 2466.05).abs() < 1e-9);
    assert!((found.gap.x - 0.53).abs() < 0.025 && (found.gap.y + 0.71).abs() < 0.025, "{found:?}");
    let as_published = misclosure([(2466.05, Point::default()), (0.89, along(90.0))]);
    assert!((as_published.one_in().unwrap() - 2771.0).abs() < 1.5, "{as_published:?}");
}

#[test]
fn a_loose_or_broken_network_is_refused() {
    let points = [(0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.0), (0.0, 3000.0)].map(Point::from).to_vec();
    let walls = vec![span(0, 1, 4000.0), span(1, 2, 3000.0), span(2, 3, 4000.0), span(3, 0, 3000.0)];
    let network = Network { points: points.clone(), held: Vec::new(), spans: walls.clone() };
    assert_eq!(adjust(&network), Err(Trouble::Loose { missing: 1 }), "four walls shear");
    let two = Network { spans: walls[..2].to_vec(), ..network.clone() };
    assert_eq!(adjust(&two), Err(Trouble::Loose { missing: 3 }));
    for bad in [
        span(0, 9, 1.0),
        span(1, 1, 1.0),
        span(0, 2, -1.0),
        span(0, 2, f64::NAN),
        Span { good_to: 0.0, ..span(0, 2, 5e3) },
    ] {
        let spans = [walls.clone(), vec![bad]].concat();
        assert_eq!(adjust(&Network { spans, ..network.clone() }), Err(Trouble::BadSpan(4)), "{bad:?}");
    }
    let many = Network { points: vec![Point::default(); 5000], ..Network::default() };
    assert_eq!(adjust(&many), Err(Trouble::TooMany));
}

/// A room of five to eight corners about a circle, every pair taped, with errors of some millimetres.
fn any_room() -> impl Strategy<Value = (Vec<Point>, Vec<Point>, Vec<f64>)> {
    (5..8_usize).prop_flat_map(|n| {
        let errors = proptest::collection::vec(-4.0..4.0_f64, n * (n - 1) / 2);
        let drawn = proptest::collection::vec((-300.0..300.0_f64, -300.0..300.0_f64), n);
        let radii = proptest::collection::vec(2000.0..5000.0_f64, n);
        (radii, drawn, errors).prop_map(|(radii, drawn, errors)| {
            let n = radii.len() as f64;
            let corner = |(i, radius): (usize, &f64)| {
                let turn = std::f64::consts::TAU * i as f64 / n;
                Point::new(radius * libm::cos(turn), radius * libm::sin(turn))
            };
            let truth: Vec<Point> = radii.iter().enumerate().map(corner).collect();
            let drawn = truth.iter().zip(drawn).map(|(p, (dx, dy))| p.moved(dx, dy)).collect();
            (truth, drawn, errors)
        })
    })
}

fn all_pairs(truth: &[Point], errors: &[f64]) -> Vec<Span> {
    let pairs = (0..truth.len()).flat_map(|a| (a + 1..truth.len()).map(move |b| (a, b)));
    pairs.zip(errors).map(|((a, b), error)| span(a, b, truth[a].distance(truth[b]) + error)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// The general solver finds no less a sum of squares, and the same lengths.
    #[test]
    fn the_general_solver_agrees((truth, drawn, errors) in any_room()) {
        let network = Network { points: drawn, held: Vec::new(), spans: all_pairs(&truth, &errors) };
        let adjusted = adjust(&network).unwrap();
        let (points, sum) = General::new(&network).solve();
        let own: f64 = adjusted.fitted.iter().map(|f| (f.residual / 3.0) * (f.residual / 3.0)).sum();
        prop_assert!((own - sum).abs() < 1e-6 * sum.max(1.0), "{own} {sum}");
        for (fitted, span) in adjusted.fitted.iter().zip(&network.spans) {
            let other = points[span.from].distance(points[span.to]);
            prop_assert!((fitted.length - other).abs() < 1e-3, "{} {other}", fitted.length);
        }
        // The redundancy is shared out whole among the lengths.
        let checked: f64 = adjusted.fitted.iter().map(|f| f.checked).sum();
        prop_assert!((checked - adjusted.redundancy as f64).abs() < 1e-6);
        prop_assert_eq!(adjusted.redundancy, network.spans.len() - (2 * truth.len() - 3));
    }

    /// What the others say of a length is what they say without it.
    #[test]
    fn the_others_say_the_same_without_it((truth, drawn, errors) in any_room(), left_out in 0..10_usize) {
        let spans = all_pairs(&truth, &errors);
        let network = Network { points: drawn, held: Vec::new(), spans: spans.clone() };
        let whole = adjust(&network).unwrap();
        let mut without = network;
        without.spans.remove(left_out);
        let rest = adjust(&without).unwrap();
        let own = rest.points[spans[left_out].from].distance(rest.points[spans[left_out].to]);
        // The equations are bent by the errors over the lengths: a hundredth of a millimetre at most.
        prop_assert!((whole.fitted[left_out].by_others.unwrap() - own).abs() < 0.05);
    }

    /// One length typed 60 wrong among many good ones is found, whichever it is.
    #[test]
    fn the_wrong_length_is_found((truth, drawn, errors) in any_room(), wrong in 0..10_usize, sign in any::<bool>()) {
        let small: Vec<f64> = errors.iter().map(|error| error / 2.0).collect();
        let mut spans = all_pairs(&truth, &small);
        spans[wrong].length += if sign { 60.0 } else { -60.0 };
        let adjusted = adjust(&Network { points: drawn, held: Vec::new(), spans }).unwrap();
        match Doubt::of(&adjusted) {
            Doubt::One(one) => prop_assert_eq!(one, wrong),
            Doubt::Among(several) => prop_assert!(several.contains(&wrong)),
            other => prop_assert!(false, "{:?}", other),
        }
    }
}

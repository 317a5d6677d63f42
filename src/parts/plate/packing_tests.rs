//! Packings against the best that are known, and rules that are kept.

use super::packing::pack;
use super::question::Distances;
use super::question::{Layout, Post, Question};
use super::room::Room;

/// Least radius of a circle that holds n unit circles: best known, n = 2 to 19. Graham,
/// Lubachevsky, Nurmela, Östergård: Dense packings of congruent circles in a circle, Discrete
/// Mathematics 181 (1998), as reciprocals of their radii.
pub const BEST_KNOWN: [(usize, f64); 18] = [
    (2, 2.0),
    (3, 2.154_700_54),
    (4, 2.414_213_56),
    (5, 2.701_301_62),
    (6, 3.0),
    (7, 3.0),
    (8, 3.304_764_87),
    (9, 3.613_125_93),
    (10, 3.813_025_63),
    (11, 3.923_804_40),
    (12, 4.029_601_93),
    (13, 4.236_067_98),
    (14, 4.328_428_55),
    (15, 4.521_356_96),
    (16, 4.615_425_59),
    (17, 4.792_033_75),
    (18, 4.863_703_31),
    (19, 4.863_703_31),
];

fn plain(room: Room, radii: &[f64], web: f64, rim: f64) -> Question {
    Question {
        gaps: vec![vec![web; radii.len()]; radii.len()],
        least: Distances { rim, ..Distances::default() },
        ..Question::plain(room, radii.iter().copied())
    }
}

fn least_web(layout: &Layout, radii: &[f64]) -> f64 {
    let mut least = f64::INFINITY;
    for i in 0..radii.len() {
        for j in 0..i {
            least = least.min((layout.centres[i] - layout.centres[j]).norm() - radii[i] - radii[j]);
        }
    }
    least
}

/// Radius of a circle that holds one disc each of radius 1, 2, … n: best known. Müller,
/// Schneider, Schömer: Packing a multidisperse system of hard disks in a circular environment,
/// Physical Review E 79 (2009), and the circle packing contest of 2005 that it builds on.
const BEST_UNEQUAL: [(usize, f64); 6] =
    [(5, 9.001_398), (6, 11.057_041), (7, 13.462_111), (8, 16.221_747), (9, 19.233_194), (10, 22.000_194)];

/// Radius of n equal discs in a unit square: best known. Peikert and others: Packing circles
/// in a square, System Modelling and Optimization (1991).
const IN_A_SQUARE: [(usize, f64); 6] =
    [(2, 0.292_893), (5, 0.207_106), (7, 0.174_457), (10, 0.148_204), (13, 0.133_993), (16, 0.125)];

#[test]
fn equal_openings_come_within_a_thousandth_of_the_best_known_packings() {
    for (n, ratio) in BEST_KNOWN {
        let (radius, web) = (4.0, 2.0);
        let radii = vec![radius; n];
        let room = Room::circle(ratio * (radius + web / 2.0) * 1.001);
        let layout = pack(&plain(room, &radii, web, web / 2.0), 60).unwrap_or_else(|| panic!("{n} openings"));
        assert!(least_web(&layout, &radii) >= web - 1e-6, "{n} openings");
        for centre in &layout.centres {
            assert!(centre.coords.norm() + radius + web / 2.0 <= room.corner + 1e-6, "{n} openings");
        }
    }
}

#[test]
fn nothing_is_claimed_below_the_best_known_packings() {
    for (n, ratio) in BEST_KNOWN {
        let room = Room::circle(ratio * 0.999);
        assert_eq!(pack(&plain(room, &vec![1.0; n], 0.0, 0.0), 3), None, "{n} openings");
    }
}

#[test]
fn unequal_openings_come_within_a_hundredth_of_the_best_known_packings() {
    for (n, best) in BEST_UNEQUAL {
        let radii: Vec<f64> = (1..=n).map(|r| r as f64).collect();
        let room = Room::circle(best * 1.01);
        let layout = pack(&plain(room, &radii, 0.0, 0.0), 60).unwrap_or_else(|| panic!("radii 1 to {n}"));
        assert!(least_web(&layout, &radii) >= -1e-6);
    }
}

#[test]
fn a_square_hole_comes_within_a_hundredth_of_the_best_known_packings() {
    for (n, radius) in IN_A_SQUARE {
        let half = 0.5 * 1.01;
        let room = Room { half_width: half, half_height: half, corner: 0.0 };
        let layout =
            pack(&plain(room, &vec![radius; n], 0.0, 0.0), 60).unwrap_or_else(|| panic!("{n} in a square"));
        for centre in &layout.centres {
            assert!(centre.x.abs().max(centre.y.abs()) + radius <= half + 1e-6);
        }
    }
}

#[test]
fn parted_openings_lie_on_their_line_and_the_others_keep_off_it() {
    let radii = [5.0, 4.0, 4.0, 3.0, 3.0, 3.0];
    let mut question = plain(Room::circle(26.0), &radii, 2.0, 2.0);
    question.discs[0].parted = true;
    question.discs[3].parted = true;
    (question.lines, question.least.line_gap, question.least.end_height) = (1, 1.0, 8.0);
    let layout = pack(&question, 60).expect("room enough");
    let line = layout.lines[0];
    for (i, centre) in layout.centres.iter().enumerate() {
        let off = (centre.y - line).abs();
        if question.discs[i].parted {
            assert!(off < 1e-9);
        } else {
            assert!(off >= radii[i] + 1.0 - 1e-6);
        }
    }
    assert!(least_web(&layout, &radii) >= 2.0 - 1e-6);
}

#[test]
fn every_post_stands_beside_its_own_opening_and_clear_of_the_rest() {
    let radii = [5.0, 4.0, 4.0, 3.0, 3.0];
    let mut question = plain(Room::circle(30.0), &radii, 2.0, 2.0);
    for disc in &mut question.discs {
        disc.post = Some(Post { radius: 4.0, reach: disc.radius + 5.0, own_line: 5.5 });
    }
    (question.least.post_gap, question.least.post_rim) = (1.5, 0.5);
    let layout = pack(&question, 60).expect("room enough");
    for (i, foot) in layout.posts.iter().enumerate() {
        let foot = foot.expect("asked for");
        assert!(((foot - layout.centres[i]).norm() - radii[i] - 5.0).abs() < 1e-9);
        assert!(foot.coords.norm() + 4.5 <= 30.0 + 1e-6);
        for (j, radius) in radii.iter().enumerate().filter(|&(j, _)| j != i) {
            assert!((foot - layout.centres[j]).norm() >= 4.0 + radius + 1.5 - 1e-6);
        }
    }
}

#[test]
fn spare_room_widens_the_webs() {
    let radii = [4.0; 4];
    let mut question = plain(Room::circle(30.0), &radii, 2.0, 2.0);
    question.spread = 5.0;
    let layout = pack(&question, 10).expect("room enough");
    assert!(layout.slack > 4.9 && least_web(&layout, &radii) > 6.9, "{}", layout.slack);
}

#[test]
fn the_same_question_gets_the_same_answer() {
    let radii = [5.0, 4.5, 4.0, 3.0, 3.0, 2.0];
    let question = plain(Room::circle(19.0), &radii, 2.0, 2.0);
    assert_eq!(pack(&question, 60), pack(&question, 60));
}

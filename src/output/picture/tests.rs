use super::*;
use crate::solid::{Loop, Point2};
use std::collections::BTreeSet;

const CHORD: f64 = 0.02;

/// A closed profile in (r, z) swept round the z axis.
fn revolved(profile: &[(f64, f64)]) -> Body {
    let corners: Vec<Point2> = profile.iter().map(|&(r, z)| Point2::new(r, z)).collect();
    Body::revolve(&Loop::polygon(&corners)).unwrap()
}

fn tube(inner: f64, outer: f64, height: f64) -> Body {
    revolved(&[(inner, 0.0), (outer, 0.0), (outer, height), (inner, height)])
}

fn block(least: [f64; 3], most: [f64; 3]) -> Body {
    let [a, b] = [least, most].map(Point3::from);
    let outline = Loop::rectangle(nalgebra::center(&a.xy(), &b.xy()), b.x - a.x, b.y - a.y).unwrap();
    Body::prism(&outline.into(), a.z, b.z).unwrap()
}

/// A stepped tube of a sleeve's proportions, nose up.
fn sleeve() -> Body {
    revolved(&[
        (10.5, 0.0),
        (19.0, 0.0),
        (20.0, 1.0),
        (20.0, 38.0),
        (14.0, 46.0),
        (14.0, 60.0),
        (13.5, 60.5),
        (11.0, 60.5),
        (10.5, 60.0),
    ])
}

fn figure(body: &Body, role: Role, cut: bool) -> Figure<'_> {
    let mesh = Cow::Owned(body.mesh(CHORD).unwrap());
    Figure { body, mesh, axes: Frame::world(), role, cut }
}

fn printed(body: &Body) -> Figure<'_> {
    figure(body, Role::Part, true)
}

fn scene<'a>(figures: impl IntoIterator<Item = Figure<'a>>, cut: Cut) -> Scene<'a> {
    Scene { cut, ..Scene::of(figures.into_iter().collect(), CHORD) }
}

/// The picture's width, and RGB of each pixel of a PNG.
fn pixels(bytes: &[u8]) -> (usize, Vec<[u8; 3]>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    let mut buffer = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut buffer).unwrap();
    (info.width as usize, buffer[..info.buffer_size()].chunks(3).map(|c| [c[0], c[1], c[2]]).collect())
}

/// Relative luminance of sRGB (WCAG 2): what a grey print shows.
fn lightness(c: [u8; 3]) -> f64 {
    let linear = c
        .map(|v| f64::from(v) / 255.0)
        .map(|v| if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) });
    0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
}

fn samples(scene: &Scene, side: u32) -> (f64, raster::Samples) {
    let (camera, samples, _) = scene.seen(side, side);
    (camera.scale, samples)
}

/// The area of the printed parts' pixels whose face fulfils a condition, mm² on the picture.
fn area((scale, samples): &(f64, raster::Samples), condition: impl Fn(u32) -> bool) -> f64 {
    samples.part.face.iter().filter(|&&face| condition(face)).count() as f64 / scale.powi(2)
}

/// The length of the lines of one role, mm on the picture.
fn length(scene: &Scene, role: Role) -> f64 {
    let (camera, _, lines) = scene.seen(600, 600);
    let lines = lines.iter().filter(|line| line.role == role);
    let steps = lines.flat_map(|line| {
        let points = line.path.points();
        points.windows(2).map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1])).collect::<Vec<_>>()
    });
    steps.sum::<f64>() / camera.scale
}

#[test]
fn the_three_faces_of_a_block_differ_in_grey_and_the_top_is_lightest() {
    let block = block([0.0; 3], [20.0; 3]);
    let (width, pixels) = pixels(&scene([printed(&block)], Cut::Nothing).png(300, 300).unwrap());
    let at = |x: usize, y: usize| lightness(pixels[y * width + x]);
    let (top, front, right) = (at(150, 80), at(90, 190), at(210, 190));
    assert!(top > 1.3 * front && front > 1.3 * right, "{top} {front} {right}");
    assert_eq!(pixels[2], [255; 3]);
}

#[test]
fn a_block_is_drawn_to_one_scale_along_all_three_axes() {
    // ISO 5456-3: isometric axes are each foreshortened to the root of two thirds.
    let block = block([0.0; 3], [30.0, 20.0, 10.0]);
    let scene = scene([printed(&block)], Cut::Nothing);
    let seen = area(&samples(&scene, 600), |face| face != raster::NOTHING);
    let expected = (30.0 * 20.0 + 30.0 * 10.0 + 20.0 * 10.0) / 3f64.sqrt();
    assert!((seen / expected - 1.0).abs() < 3e-3, "{seen} {expected}");
}

#[test]
fn of_a_blocks_twelve_edges_the_nine_in_sight_are_drawn() {
    let block = block([0.0; 3], [30.0, 20.0, 10.0]);
    let drawn = length(&scene([printed(&block)], Cut::Nothing), Role::Part);
    let expected = 3.0 * (30.0 + 20.0 + 10.0) * (2.0 / 3.0_f64).sqrt();
    assert!((drawn / expected - 1.0).abs() < 5e-3, "{drawn} {expected}");
}

#[test]
fn what_is_behind_is_hidden() {
    let near = block([0.0; 3], [20.0; 3]);
    let far = block([-14.0, 25.0, 0.0], [-9.0, 30.0, 4.0]);
    let (_, alone) = samples(&scene([printed(&near), printed(&far)], Cut::Nothing), 200);
    let faces: BTreeSet<u32> = alone.part.face.iter().copied().collect();
    assert_eq!(faces.len(), 1 + 3, "three faces of the near block and nothing else: {faces:?}");
    let both = scene([printed(&near), figure(&far, Role::Mating, false)], Cut::Nothing);
    assert!(samples(&both, 200).1.mating.face.iter().all(|&face| face == raster::NOTHING));
    assert_eq!(length(&both, Role::Mating), 0.0);
}

#[test]
fn a_quarter_cut_away_shows_both_walls_in_section_and_nothing_cut_where_there_is_no_wall() {
    for turn in [0.0, 0.1, 0.37] {
        let tube = tube(8.0, 12.0, 40.0);
        let mut scene = scene([printed(&tube)], Cut::Quarter);
        let (sin, cos) = f64::sin_cos(turn);
        scene.figures[0].axes.x = Vector3::new(cos, sin, 0.0);
        scene.figures[0].axes.y = Vector3::new(-sin, cos, 0.0);
        let samples = samples(&scene, 600);
        let cut = area(&samples, |face| face >= samples.1.first_cut_face);
        // Two walls of 4 × 40 mm, each turned 54.7° from the viewer.
        let expected = 2.0 * 4.0 * 40.0 / 3f64.sqrt();
        assert!((cut / expected - 1.0).abs() < 0.02, "turned {turn}: {cut} for {expected}");
    }
}

#[test]
fn a_shaft_is_left_whole_when_the_sleeve_round_it_is_cut() {
    let shaft = revolved(&[(0.0, -5.0), (10.0, -5.0), (10.0, 70.0), (0.0, 70.0)]);
    let sleeve = sleeve();
    let scene = scene([printed(&sleeve), figure(&shaft, Role::Mating, false)], Cut::Quarter);
    let (_, samples) = samples(&scene, 300);
    let cut = |face: &u32| *face >= samples.first_cut_face;
    assert!(samples.part.face.iter().any(cut));
    assert!(!samples.mating.face.iter().any(cut));
    // Through the window one sees its lower end, far below the nose.
    let lowest = samples.mating.face.iter().rposition(|&face| face != raster::NOTHING).unwrap() / 300;
    assert!(lowest > 210, "{lowest}");
}

#[test]
fn plastic_is_at_least_three_times_as_light_as_its_cut_however_it_is_lit() {
    let cut = lightness(paint::CUT[1]);
    for tone in paint::PART {
        let ratio = (lightness(tone) + 0.05) / (cut + 0.05);
        assert!(ratio >= 3.0, "{tone:?}: {ratio}");
    }
    let tube = tube(4.0, 12.0, 40.0);
    let scene = scene([printed(&tube)], Cut::Quarter);
    let (png, svg) = scene.png_and_svg(400, 400).unwrap();
    assert!(svg.contains("fill=\"url(#hatch)\""));
    let (width, pixels) = pixels(&png);
    let (_, samples) = samples(&scene, 400);
    // Away from lines and off the hatch.
    let inner = |at: usize, cut: bool| {
        let same = |d: usize| {
            let there = samples.part.face[at + d - 4];
            there != raster::NOTHING && (there >= samples.first_cut_face) == cut
        };
        (0..=8).all(same)
    };
    let tones = |cut: bool| {
        let at = (4..width * 400 - 8).filter(move |&at| inner(at, cut));
        at.map(|at| lightness(pixels[at])).collect::<Vec<_>>()
    };
    let (whole, open) = (tones(false), tones(true));
    let darkest = open.iter().fold(1.0_f64, |l, &v| l.min(v));
    let hatched = open.iter().filter(|&&v| v > darkest + 0.05).count();
    assert!(hatched * 20 > open.len(), "{hatched} of {} pixels bear the hatch", open.len());
    let middle = |mut tones: Vec<f64>| {
        tones.sort_by(f64::total_cmp);
        tones[tones.len() / 2]
    };
    let (whole, open) = (middle(whole), middle(open));
    assert!((whole + 0.05) / (open + 0.05) > 3.0, "{whole} {open}");
}

#[test]
fn the_same_scene_gives_the_same_bytes() {
    let (sleeve, bar) = (sleeve(), block([-30.0, -3.0, 10.0], [30.0, 3.0, 14.0]));
    let scene = scene([printed(&sleeve), figure(&bar, Role::Mating, true)], Cut::Quarter);
    assert_eq!(scene.png_and_svg(240, 200).unwrap(), scene.png_and_svg(240, 200).unwrap());
}

/// Each `d` of the SVG's paths that are filled.
fn filled(svg: &str) -> Vec<&str> {
    let paths = svg.split("<path d=\"").skip(1).filter(|path| !path.contains("fill=\"none\""));
    paths.map(|path| &path[..path.find('"').unwrap()]).collect()
}

#[test]
fn the_outlines_in_the_svg_cover_what_the_samples_cover() {
    let sleeve = sleeve();
    let scene = scene([printed(&sleeve)], Cut::Nothing);
    let svg = scene.png_and_svg(300, 300).unwrap().1;
    let loops = filled(&svg).into_iter().flat_map(|data| data.trim_end_matches('z').split('z'));
    let shoelace: f64 = loops.map(enclosed).sum();
    let covered =
        samples(&scene, 300).1.part.face.iter().filter(|&&face| face != raster::NOTHING).count() as f64;
    assert!((shoelace.abs() / covered - 1.0).abs() < 5e-3, "{shoelace} {covered}");
}

/// Twice-signed area over two of one `Mx yldx dy…` loop.
fn enclosed(data: &str) -> f64 {
    let mut at = (0.0, 0.0);
    let corners: Vec<(f64, f64)> = data
        .trim_start_matches('M')
        .split('l')
        .map(|step| {
            let (dx, dy) = step.split_once(' ').unwrap();
            at = (at.0 + dx.parse::<f64>().unwrap(), at.1 + dy.parse::<f64>().unwrap());
            at
        })
        .collect();
    (0..corners.len())
        .map(|k| {
            let (p, q) = (corners[k], corners[(k + 1) % corners.len()]);
            (p.0 * q.1 - p.1 * q.0) / 2.0
        })
        .sum()
}

#[test]
fn the_side_that_shows_most_is_the_one_with_the_steps() {
    // A tall wall with a stepped front on the left-hand side (−x) only.
    let wall = block([0.0, 0.0, 0.0], [5.0, 40.0, 40.0]);
    let steps: Vec<Body> = (0..4)
        .map(|k| 5.0 + 8.0 * f64::from(k))
        .map(|y| block([-4.0, y, 5.0], [0.0, y + 4.0, 30.0]))
        .collect();
    let figures = [&wall].into_iter().chain(&steps).map(printed);
    let scene = scene(figures, Cut::Nothing).on_the_side_that_shows_most();
    assert!(scene.view.azimuth < 0.0, "{}", scene.view.azimuth);
}

#[test]
fn what_cannot_be_drawn_is_refused_with_the_bound() {
    let block = block([0.0; 3], [1.0; 3]);
    let error = scene([printed(&block)], Cut::Nothing).png(4, 100).unwrap_err();
    assert!(error.says.contains("width is 4 pixels") && error.says.contains("16 and 6000"), "{error}");
    assert!(scene([], Cut::Nothing).png(100, 100).is_err());
    let mut broken = scene([printed(&block)], Cut::Nothing);
    broken.figures[0].mesh.to_mut().points[3].x = f64::NAN;
    assert!(broken.png(100, 100).is_err());
}

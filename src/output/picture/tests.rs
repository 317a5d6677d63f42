use super::*;
use std::f64::consts::TAU;

/// A closed profile in (r, z), counter-clockwise, swept round the z axis.
fn revolved(profile: &[(f64, f64)], steps: u32) -> Mesh {
    let count = profile.len() as u32;
    let mut points = Vec::new();
    for step in 0..steps {
        let (sin, cos) = (TAU * f64::from(step) / f64::from(steps)).sin_cos();
        points.extend(profile.iter().map(|&(r, z)| Point3::new(r * cos, r * sin, z)));
    }
    let mut triangles = Vec::new();
    for step in 0..steps {
        for k in 0..count {
            let at = |step: u32, k: u32| (step % steps) * count + k % count;
            let (a, b, c, d) = (at(step, k), at(step + 1, k), at(step + 1, k + 1), at(step, k + 1));
            triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
    // Corners on the axis are one point each, and triangles between them none.
    let first: Vec<u32> = (0..points.len() as u32)
        .map(|at| if profile[(at % count) as usize].0 == 0.0 { at % count } else { at })
        .collect();
    let triangles = triangles
        .into_iter()
        .map(|t| t.map(|at| first[at as usize]))
        .filter(|[a, b, c]| a != b && b != c && c != a)
        .collect();
    Mesh { points, triangles }
}

fn block(least: [f64; 3], most: [f64; 3]) -> Mesh {
    let points = (0..8)
        .map(|k| {
            Point3::from(std::array::from_fn::<f64, 3, _>(|axis| {
                if k >> axis & 1 == 0 { least[axis] } else { most[axis] }
            }))
        })
        .collect();
    let quads: [[u32; 4]; 6] =
        [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    let triangles = quads.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect();
    Mesh { points, triangles }
}

/// A stepped tube of a sleeve's proportions, nose up.
fn sleeve() -> Mesh {
    revolved(
        &[
            (10.5, 0.0),
            (19.0, 0.0),
            (20.0, 1.0),
            (20.0, 38.0),
            (14.0, 46.0),
            (14.0, 60.0),
            (13.5, 60.5),
            (11.0, 60.5),
            (10.5, 60.0),
        ],
        120,
    )
}

/// RGB of one pixel of a PNG.
fn pixels(bytes: &[u8]) -> (usize, Vec<[u8; 3]>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    let mut buffer = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut buffer).unwrap();
    (info.width as usize, buffer[..info.buffer_size()].chunks(3).map(|c| [c[0], c[1], c[2]]).collect())
}

/// Relative luminance weights of Rec. 709, on the encoded values: what a grey print shows.
fn grey([r, g, b]: [u8; 3]) -> f64 {
    0.2126 * f64::from(r) + 0.7152 * f64::from(g) + 0.0722 * f64::from(b)
}

fn samples(scene: &Scene, side: u32) -> raster::Samples {
    raster::Samples::take(scene, side, side, 3)
}

/// The area of samples that fulfil a condition, mm² on the picture.
fn area(samples: &raster::Samples, condition: impl Fn(&raster::Seen) -> bool) -> f64 {
    samples.part.iter().filter(|s| condition(s)).count() as f64 / samples.camera.scale.powi(2)
}

#[test]
fn the_three_faces_of_a_block_differ_in_grey_and_the_top_is_lightest() {
    let scene = Scene::of_parts([block([0.0; 3], [20.0; 3])]);
    let (width, pixels) = pixels(&scene.png(300, 300).unwrap());
    let grey_at = |x: usize, y: usize| grey(pixels[y * width + x]);
    let (top, front, right) = (grey_at(150, 80), grey_at(90, 190), grey_at(210, 190));
    assert!(top > front + 25.0 && front > right + 25.0, "{top} {front} {right}");
    assert_eq!(pixels[2], [255; 3]);
}

#[test]
fn a_block_is_drawn_to_one_scale_along_all_three_axes() {
    // ISO 5456-3: isometric axes are each foreshortened to the root of two thirds.
    let samples = samples(&Scene::of_parts([block([0.0; 3], [30.0, 20.0, 10.0])]), 300);
    let seen = area(&samples, |s| s.face != raster::NOTHING);
    let expected = (30.0 * 20.0 + 30.0 * 10.0 + 20.0 * 10.0) / 3f64.sqrt();
    assert!((seen / expected - 1.0).abs() < 2e-3, "{seen} {expected}");
}

#[test]
fn what_is_behind_is_hidden() {
    let near = block([0.0; 3], [20.0; 3]);
    let far = block([-15.0, 25.0, 0.0], [-10.0, 30.0, 5.0]);
    let alone = samples(&Scene::of_parts([near.clone(), far.clone()]), 200);
    let faces: std::collections::BTreeSet<u32> = alone.part.iter().map(|s| s.face).collect();
    assert_eq!(faces.len(), 1 + 3, "three faces of the near block and nothing else: {faces:?}");
    let company = samples(&Scene::of_parts([near]).with_company(far, false), 200);
    assert!(company.company.iter().all(|s| s.face == raster::NOTHING));
}

#[test]
fn a_quarter_cut_away_shows_both_walls_in_section_and_nothing_cut_where_there_is_no_wall() {
    for steps in [24, 60, 61, 120, 127, 500] {
        let mut scene =
            Scene::of_parts([revolved(&[(8.0, 0.0), (12.0, 0.0), (12.0, 40.0), (8.0, 40.0)], steps)]);
        scene.cut = Cut::Quarter;
        let samples = samples(&scene, 300);
        let cut = area(&samples, |s| s.face >= samples.first_cut_face);
        // Two walls of 4 × 40 mm, each turned 54.7° from the viewer. Polygons are a little within
        // the circle, and the box of an odd one is off its axis.
        let expected = 2.0 * 4.0 * 40.0 / 3f64.sqrt();
        assert!((cut / expected - 1.0).abs() < 0.02, "{steps} steps: {cut} for {expected}");
    }
}

#[test]
fn half_cut_away_of_a_solid_cylinder_shows_one_whole_rectangle() {
    let mut scene = Scene::of_parts([revolved(&[(0.0, 0.0), (10.0, 0.0), (10.0, 30.0), (0.0, 30.0)], 180)]);
    scene.cut = Cut::Half;
    let samples = samples(&scene, 300);
    let cut = area(&samples, |s| s.face >= samples.first_cut_face);
    let expected = 20.0 * 30.0 * View::ISOMETRIC.elevation.cos();
    assert!((cut / expected - 1.0).abs() < 0.01, "{cut} for {expected}");
}

#[test]
fn a_shaft_is_left_whole_when_the_sleeve_round_it_is_cut() {
    let shaft = revolved(&[(0.0, -5.0), (10.0, -5.0), (10.0, 70.0), (0.0, 70.0)], 90);
    let mut scene = Scene::of_parts([sleeve()]).with_company(shaft, false);
    scene.cut = Cut::Quarter;
    let samples = samples(&scene, 300);
    assert!(samples.part.iter().any(|s| s.face >= samples.first_cut_face));
    assert!(samples.company.iter().all(|s| s.face < samples.first_cut_face));
    // Through the window one sees its lower end, far below the nose.
    let lowest = samples.company.iter().rposition(|s| s.face != raster::NOTHING).unwrap() / samples.columns();
    assert!(lowest > samples.rows() * 7 / 10, "{lowest}");
}

#[test]
fn the_cut_tells_from_the_uncut_in_grey_by_its_hatch() {
    let mut scene = Scene::of_parts([revolved(&[(4.0, 0.0), (12.0, 0.0), (12.0, 40.0), (4.0, 40.0)], 120)]);
    scene.cut = Cut::Quarter;
    let (width, pixels) = pixels(&scene.png(400, 400).unwrap());
    let samples = raster::Samples::take(&scene, 400, 400, 1);
    let inner = |x: usize, y: usize| {
        (-4i32..=4).all(|d| samples.part[y * 400 + (x as i32 + d) as usize].face >= samples.first_cut_face)
    };
    let mut crossings = 0;
    for y in (100..300).step_by(10) {
        let greys: Vec<f64> =
            (4..396).filter(|&x| inner(x, y)).map(|x| grey(pixels[y * width + x])).collect();
        let (least, most) = greys.iter().fold((255.0f64, 0.0f64), |(l, m), &g| (l.min(g), m.max(g)));
        crossings += usize::from(greys.len() > 12 && most - least > 25.0);
    }
    assert!(crossings >= 10, "{crossings}");
}

#[test]
fn the_same_scene_gives_the_same_bytes() {
    let mut scene =
        Scene::of_parts([sleeve()]).with_company(block([-30.0, -3.0, 10.0], [30.0, 3.0, 14.0]), true);
    scene.cut = Cut::Quarter;
    assert_eq!(scene.png(240, 200).unwrap(), scene.png(240, 200).unwrap());
    assert_eq!(scene.svg(240, 200).unwrap(), scene.svg(240, 200).unwrap());
}

#[test]
fn the_outline_in_the_svg_covers_what_the_samples_cover() {
    let scene = Scene::of_parts([sleeve()]);
    let samples = samples(&scene, 300);
    let svg = scene.svg(300, 300).unwrap();
    let last = svg.rsplit("<path d=\"").next().unwrap();
    let data = &last[..last.find('"').unwrap()];
    let shoelace: f64 = data.trim_end_matches('z').split('z').map(enclosed).sum();
    let covered = samples.part.iter().filter(|s| s.face != raster::NOTHING).count() as f64 / 9.0;
    assert!((shoelace.abs() / covered - 1.0).abs() < 3e-3, "{shoelace} {covered}");
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
fn the_side_that_shows_most_is_the_one_with_the_boss() {
    // A tall wall with a stepped front on the left-hand side (−x) only.
    let wall = block([0.0, 0.0, 0.0], [5.0, 40.0, 40.0]);
    let steps =
        (0..4).map(|k| block([-4.0, 5.0 + 8.0 * f64::from(k), 5.0], [0.0, 9.0 + 8.0 * f64::from(k), 30.0]));
    let scene = Scene::of_parts([wall].into_iter().chain(steps)).on_the_side_that_shows_most(false);
    assert!(scene.view.azimuth < 0.0, "{}", scene.view.azimuth);
}

#[test]
fn what_cannot_be_drawn_is_refused_with_the_bound() {
    let scene = Scene::of_parts([block([0.0; 3], [1.0; 3])]);
    let error = scene.png(4, 100).unwrap_err();
    assert!(error.says.contains("width is 4 pixels") && error.says.contains("16 and 6000"), "{error}");
    assert!(Scene::of_parts([]).svg(100, 100).is_err());
    let mut broken = block([0.0; 3], [1.0; 3]);
    broken.points[3].x = f64::NAN;
    assert!(Scene::of_parts([broken]).png(100, 100).is_err());
}

#[test]
#[ignore]
fn timing() {
    let mut scene = Scene::of_parts([sleeve()])
        .with_company(revolved(&[(10.0, 60.5), (14.2, 60.5), (14.2, 74.5), (10.0, 74.5)], 240), true)
        .with_company(revolved(&[(0.0, 20.0), (10.0, 20.0), (10.0, 100.0), (0.0, 100.0)], 240), false);
    scene.cut = Cut::Quarter;
    let t = std::time::Instant::now();
    let s = raster::Samples::take(&scene, 1200, 1000, 3);
    eprintln!("samples {:?}", t.elapsed());
    let t = std::time::Instant::now();
    let b = paint::png(&scene, &s).unwrap();
    eprintln!("png {:?} {}", t.elapsed(), b.len());
    let t = std::time::Instant::now();
    let b = trace::svg(&scene, &s);
    eprintln!("svg {:?} {}", t.elapsed(), b.len());
}

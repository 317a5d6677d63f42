use super::*;

#[test]
fn holes_are_read_in_every_shape() {
    let hole = |text: &str| text.parse::<Hole>().unwrap();
    assert!(hole("60").is_round());
    assert_eq!(hole("80x40"), Hole::new(80.0, 40.0, 0.0));
    assert_eq!(hole("62-65"), Hole { ragged: 3.0, ..Hole::new(62.0, 62.0, 31.0) });
    assert_eq!(hole("80-81x40-42.5").ragged, 2.5);
    assert_eq!(hole("80mm x 4cm:r=5").corner, 5.0);
    assert_eq!(hole("40x80:obround").corner, 20.0);
    for wrong in [
        "",
        "x",
        "60:r=3",
        "80x40:round-ish",
        "80x40:r=30",
        "nan",
        "80x",
        "1e9",
        "-60",
        "80x40x20",
        "65-62",
        "62-",
        "-",
        "62-90",
    ] {
        assert!(wrong.parse::<Hole>().is_err(), "{wrong}");
    }
}

#[test]
fn cables_are_read_by_size_by_name_and_with_all_their_words() {
    let cable = |text: &str| text.parse::<CableWish>().unwrap();
    let plain = cable("8.2x3");
    assert_eq!((plain.size.clone(), plain.count, plain.group()), (Size::Measured(8.2), 3, Group::Signal));
    let mains = cable("9.5:mains:plug=28:label=supply");
    assert_eq!(
        (mains.group(), mains.plug.clone().unwrap().across, mains.label()),
        (Group::Mains, 28.0, "supply".into())
    );
    let named = cable("3G1.5x2:plug=C13");
    assert_eq!((named.label(), named.count, named.group()), ("H05VV-F 3G1.5".into(), 2, Group::Mains));
    assert_eq!(cable("LiYCY 4x0.25").count, 1);
    assert_eq!(cable("LiYCY 4x0.25x3").count, 3);
    assert_eq!(cable("2x0.75").label(), "H05VV-F 2x0.75");
    assert_eq!(cable("2x1").size, Size::Measured(2.0));
    assert_eq!(cable("6:data:count=4:tie=2.5").count, 4);
}

#[test]
fn what_is_no_cable_is_answered_with_the_next_step() {
    for (text, hint) in [
        ("17G99", "such as --cable 8.2x3"),
        ("6:loud", "mains, motor, signal"),
        ("6x0", "8.2x3"),
        ("6x1000", "8.2x3"),
        ("0.1", "between 0.8 and 80"),
        ("6:plug=RJ54", "RJ45"),
        ("nan", "such as"),
        ("", "such as"),
    ] {
        let error = text.parse::<CableWish>().unwrap_err();
        assert!(error.remedy.contains(hint), "{text}: {}", error.remedy);
    }
}

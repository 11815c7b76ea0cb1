//! The ends of a stretch by which a picture is set to scale, taken hold of and dragged.

use crate::hands::{Hands, one_room};
use egui::Key;
use plan::Point;
use startrow_desk::{Command, Setup};

#[test]
fn an_end_of_the_stretch_can_be_dragged_before_its_length_is_typed() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("plan.png");
    image::RgbImage::from_pixel(400, 300, image::Rgb([250, 250, 240])).save(&path).expect("a picture");
    let mut hands = Hands::at(Setup { plan: Some(one_room()), ..Setup::default() });
    hands.type_path(Command::LayPictureByPath, &path);
    let before = hands.plan().backdrop.clone().expect("a picture lies under it");
    let two = |hands: &mut Hands, a: (f64, f64), b: (f64, f64)| {
        hands.run(Command::SetPictureScale);
        hands.click(a);
        hands.click(b);
    };
    // 3000 apart, then the second end is dragged to 1500: typed as 3000, one pixel is twice as much.
    two(&mut hands, (500.0, 500.0), (3500.0, 500.0));
    hands.drag((3500.0, 500.0), (2000.0, 500.0));
    hands.letters("3000");
    hands.keys(&[Key::Enter]);
    let after = hands.plan().backdrop.clone().expect("still there");
    assert!((after.scale / before.scale - 2.0).abs() < 0.02, "{} {}", after.scale, before.scale);
    // A click on an end begins no new stretch.
    hands.run(Command::Undo);
    two(&mut hands, (500.0, 500.0), (3500.0, 500.0));
    hands.click((3500.0, 500.0));
    hands.letters("6000");
    hands.keys(&[Key::Enter]);
    let after = hands.plan().backdrop.clone().expect("still there");
    assert!((after.scale / before.scale - 2.0).abs() < 0.02, "{} {}", after.scale, before.scale);
    assert_ne!(after.at, Point::default());
}

//! Files read back by other libraries than wrote them: DXF by acadrust and measured by geo, the workbook by calamine.

use crate::testing::small_house;
use crate::{LAYERS, Output, PngSize, WriteOptions, floor_dxf, tables, workbook, write_set};
use acadrust::entities::{LwPolyline, Text};
use acadrust::{CadDocument, DxfReader, EntityType};
use calamine::{Data, DataType as _, Range, Reader as _, Xlsx};
use drawing::Options;
use geo::Area;
use order::Cell;
use pipeline::House;
use plan::Units;
use std::io::Cursor;

const ODD: &str = "Höh & <Söhne> =1+1 100%%d \\U+0041 ^J 🏠 בית \u{202e}x\u{0}\u{7}\u{ffff}\ttab\nline";
/// What is left of it on one line: control and direction marks gone, spaces for what ends lines.
const ODD_READ: &str = "Höh & <Söhne> =1+1 100%%d \\U+0041 ^J 🏠 בית x tab line";

fn read_dxf(bytes: Vec<u8>) -> CadDocument {
    DxfReader::from_reader(Cursor::new(bytes)).expect("a DXF").read().expect("acadrust reads the DXF")
}

fn dxf(house: &House, scale: f64) -> CadDocument {
    read_dxf(floor_dxf(house, &Options::every_line(scale, Units::Metric)).expect("a DXF"))
}

fn polylines<'a>(file: &'a CadDocument, layer: &'a str) -> Vec<&'a LwPolyline> {
    file.entities()
        .filter_map(|entity| match entity {
            EntityType::LwPolyline(line) if line.common.layer == layer => Some(line),
            _ => None,
        })
        .collect()
}

fn texts(file: &CadDocument) -> Vec<&Text> {
    file.entities()
        .filter_map(|entity| match entity {
            EntityType::Text(text) => Some(text),
            _ => None,
        })
        .collect()
}

/// A closed polyline's area by geo, mm².
fn area(line: &LwPolyline) -> f64 {
    assert!(line.is_closed);
    let ring = line.vertices.iter().map(|v| geo::Coord { x: v.location.x, y: v.location.y }).collect();
    geo::Polygon::new(geo::LineString::new(ring), Vec::new()).unsigned_area()
}

#[test]
fn the_dxf_holds_the_floor_in_millimetres_on_its_layers() {
    let house = small_house("Fern hut");
    let file = dxf(&house, 50.0);
    // $INSUNITS 4 is millimetres (DXF reference, header variables).
    assert_eq!(file.header.insertion_units, 4);
    for layer in LAYERS {
        assert!(file.layers.contains(layer.name), "{}", layer.name);
    }
    for entity in file.entities() {
        let layer = &entity.common().layer;
        assert!(LAYERS.iter().any(|known| known.name == layer), "{layer}");
    }
    let boards = polylines(&file, "BOARDS");
    assert_eq!(boards.len(), house.floor.boards.len());
    // The region inside gaps of 10 in a room of 4000 × 3000: 3980 × 2980, by hand.
    let laid: f64 = boards.iter().map(|board| area(board)).sum();
    assert!((laid - 3980.0 * 2980.0).abs() < 1e-3, "{laid}");
    let gaps: Vec<f64> = polylines(&file, "GAPS").into_iter().map(area).collect();
    assert_eq!(gaps, [3980.0 * 2980.0]);
    let rooms: Vec<f64> = polylines(&file, "ROOMS").into_iter().map(area).collect();
    assert_eq!(rooms, [12e6, 2400.0 * 1908.0]);
    let low_spot: Vec<f64> = polylines(&file, "UNDER-FLOOR").into_iter().map(area).collect();
    assert_eq!(low_spot, [1000.0 * 600.0]);
    let lines = |layer: &str| -> Vec<[f64; 4]> {
        file.entities()
            .filter_map(|entity| match entity {
                EntityType::Line(line) if line.common.layer == layer => {
                    Some([line.start.x, line.start.y, line.end.x, line.end.y])
                }
                _ => None,
            })
            .collect()
    };
    assert_eq!(lines("START-LINE"), [[10.0, 1055.0, 3990.0, 1055.0]]);
    let joints = lines("JOINTS");
    assert_eq!(joints.len(), house.floor.joints.len());
    assert!(joints.iter().all(|[x0, _, x1, _]| x0 == x1), "{joints:?}");
    // The leaf and the opening of the one doorway.
    assert!(polylines(&file, "DOORWAYS").len() >= 2);
    for layer in ["WALLS", "FLAGS", "DIMENSIONS", "RIPS", "PULLS"] {
        assert!(file.entities().any(|entity| entity.common().layer == layer), "nothing on {layer}");
    }
}

#[test]
fn the_dxfs_writing_has_the_height_it_has_on_paper() {
    let house = small_house("Fern hut");
    for scale in [20.0, 75.0] {
        let file = dxf(&house, scale);
        let name = texts(&file).into_iter().find(|text| text.common.layer == "ROOM-NAMES").expect("a name");
        // Type of 3.4 mm has capitals of 2048/2816 of that (Inter's OS/2 table).
        assert!((name.height - 3.4 * 2048.0 / 2816.0 * scale).abs() < 1e-6, "{}", name.height);
        assert!(["Snug", "Bath · stone"].contains(&name.value.as_str()), "{}", name.value);
    }
}

#[test]
fn odd_names_do_not_break_a_dxf_or_a_workbook() {
    let mut house = small_house(ODD);
    house.plan.rooms[0].name = ODD.into();
    house.plan.stock.name = ODD.into();
    house.flags[0].place = ODD.repeat(50);
    house.order.saw.notches[0].round = "=cmd()".into();
    let file = dxf(&house, 20.0);
    let name = texts(&file).into_iter().find(|text| text.value.starts_with("Höh")).expect("the room's name");
    assert_eq!(name.value, ODD_READ.replace("%%", "%%%%%%").replace("\\U+", "\\ U+"));
    let mut book = book(&house);
    let saw = book.worksheet_range("Saw list").expect("a sheet");
    let round: Vec<&Data> = saw.rows().map(|row| &row[11]).collect();
    assert!(round.contains(&&Data::String("=cmd()".into())), "text, no formula");
    let flags = book.worksheet_range("Flags").expect("a sheet");
    let place = flags.get_value((1, 6)).and_then(|cell| cell.as_string()).expect("a place");
    assert!(place.starts_with(ODD_READ), "{place}");
}

fn book(house: &House) -> Xlsx<Cursor<Vec<u8>>> {
    Xlsx::new(Cursor::new(workbook(house).expect("a workbook"))).expect("calamine reads the workbook")
}

fn heads(range: &Range<Data>) -> Vec<String> {
    range.rows().next().expect("a row").iter().map(ToString::to_string).collect()
}

#[test]
fn the_workbook_holds_every_list_cell_by_cell() {
    let house = small_house("Fern hut");
    let mut book = book(&house);
    let lists = tables(&house);
    let titles: Vec<&str> = lists.iter().map(|table| table.title).collect();
    assert_eq!(book.sheet_names(), titles);
    for table in &lists {
        let sheet = book.worksheet_range(table.title).expect("a sheet");
        assert_eq!(sheet.height(), table.rows.len() + 1, "{}", table.title);
        for (i, row) in table.rows.iter().enumerate() {
            assert_eq!(row.len(), table.columns.len(), "{}", table.title);
            for (j, cell) in row.iter().enumerate() {
                let read = sheet.get_value((i as u32 + 1, j as u32)).unwrap_or(&Data::Empty);
                let is_same = match cell {
                    Cell::Empty => *read == Data::Empty,
                    Cell::Text(text) if text.is_empty() => read.as_string().unwrap_or_default().is_empty(),
                    Cell::Text(text) => read.as_string().as_deref() == Some(text),
                    Cell::Count(count) => read.as_f64() == Some(*count as f64),
                    Cell::Length(mm) => read.as_f64().is_some_and(|v| (v - mm).abs() <= 0.05 + 1e-9),
                    Cell::Figure(figure, _) => read.as_f64() == Some(*figure),
                };
                assert!(is_same, "{} row {i} column {j}: {cell:?} read as {read:?}", table.title);
            }
        }
    }
    let pulls = book.worksheet_range("Pulls").expect("a sheet");
    // Pulls worked by hand: line at 1055; A and B at 0, C at 3000.
    let distances: Vec<f64> = pulls.rows().skip(1).take(3).filter_map(|row| row[5].as_f64()).collect();
    assert_eq!(distances, [1055.0, 1055.0, 1945.0]);
    // Laying starts above the line: row 7 of those counted from the lowest, board 1, then 2.
    let lay = book.worksheet_range("Lay list").expect("a sheet");
    assert_eq!(lay.get_value((1, 1)).and_then(|cell| cell.as_string()).as_deref(), Some("7-1"));
}

#[test]
fn feet_and_inches_stand_beside_the_millimetres() {
    let mut house = small_house("Fern hut");
    house.plan.units = Units::FeetInches;
    let mut book = book(&house);
    let pulls = book.worksheet_range("Pulls").expect("a sheet");
    let heads = heads(&pulls);
    assert_eq!(&heads[5..7], ["Distance (mm)", "Distance (ft in)"]);
    // 1055 mm = 41.535 in = 3 ft 5 9/16 in to a sixteenth (1 in = 25.4 mm).
    let text = pulls.get_value((1, 6)).and_then(|cell| cell.as_string());
    assert_eq!(text.as_deref(), Some("3' 5 9/16\""));
}

#[test]
fn the_same_house_gives_the_same_bytes_whatever_the_hour() {
    let house = small_house("Fern hut");
    let options =
        WriteOptions { outputs: Output::ALL.into(), picture: PngSize::Width(300), ..WriteOptions::default() };
    let first = write_set(&house, &options).expect("files");
    // Clocks in files count whole seconds, those in archives two.
    std::thread::sleep(std::time::Duration::from_millis(2100));
    assert_eq!(first, write_set(&house, &options).expect("files"));
    let names: Vec<&str> = first.iter().map(|file| file.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "sheets.pdf",
            "floor.svg",
            "floor.png",
            "floor.dxf",
            "lists.xlsx",
            "pulls.csv",
            "rips.csv",
            "saw-list.csv",
            "tapers.csv",
            "notches.csv",
            "lay-list.csv",
            "order.csv",
            "figures.csv",
            "flags.csv",
            "result.json"
        ]
    );
}

#[test]
fn only_what_is_asked_for_is_written() {
    let house = small_house("Fern hut");
    for output in Output::ALL {
        let options = WriteOptions { outputs: [output].into(), ..WriteOptions::default() };
        let files = write_set(&house, &options).expect("files");
        assert!(
            !files.is_empty() && files.iter().all(|file| file.name.ends_with(output.key())),
            "{output:?}"
        );
    }
    let none = WriteOptions { outputs: [].into(), ..WriteOptions::default() };
    assert!(write_set(&house, &none).expect("no files").is_empty());
}

//! Values are written as the published wire format has it, and packed routes hold exactly those bytes.
//!
//! Source: "The Postcard Wire Format", specification in the postcard repository (stable since 1.0.0), read there. Each byte
//! string below was written from its rules; the library of that name is held to them here, and so are packed routes.

use pinfold_core::{
    model::route::{Launch, Step},
    units::Speed,
};
use pinfold_tests::{
    packed::{golden::hexadecimal, overlong, packed_route, signed, unsigned},
    sample::{self, climb, duration, height, position},
};
use serde::{Serialize, de::DeserializeOwned};

fn written<T: Serialize>(value: &T) -> Vec<u8> {
    postcard::to_allocvec(value).expect("it has an encoding")
}

#[test]
fn integers_have_the_published_bytes() {
    let of_u16 =
        [(0, "00"), (127, "7F"), (128, "80 01"), (16_383, "FF 7F"), (16_384, "80 80 01"), (65_535, "FF FF 03")];
    for (value, bytes) in of_u16 {
        assert_eq!((written::<u16>(&value), unsigned(value.into())), (hexadecimal(bytes), hexadecimal(bytes)));
    }
    let of_i16 = [
        (0, "00"),
        (-1, "01"),
        (1, "02"),
        (63, "7E"),
        (-64, "7F"),
        (64, "80 01"),
        (-65, "81 01"),
        (32_767, "FE FF 03"),
        (-32_768, "FF FF 03"),
    ];
    for (value, bytes) in of_i16 {
        assert_eq!((written::<i16>(&value), signed(value.into())), (hexadecimal(bytes), hexadecimal(bytes)));
    }
    let of_i32 = [
        (-1_800_000_000, "FF C7 CE B4 0D"),
        (1_800_000_000, "80 C8 CE B4 0D"),
        (i32::MAX, "FE FF FF FF 0F"),
        (i32::MIN, "FF FF FF FF 0F"),
    ];
    for (value, bytes) in of_i32 {
        assert_eq!((written::<i32>(&value), signed(value.into())), (hexadecimal(bytes), hexadecimal(bytes)));
    }
    assert_eq!((written(&300_u32), unsigned(300)), (hexadecimal("AC 02"), hexadecimal("AC 02")));
    assert_eq!(written(&u32::MAX), hexadecimal("FF FF FF FF 0F"));
    assert_eq!((written(&u64::MAX), unsigned(u64::MAX)), ([vec![0xFF; 9], vec![1]].concat(), written(&u64::MAX)));
    assert_eq!((written(&-3_599_980_000_i64), written(&7_u8)), (signed(-3_599_980_000), vec![7]));
}

#[derive(Serialize)]
enum Choice {
    A,
    B(u16),
    C { x: i16 },
}

#[test]
fn compound_values_have_the_published_bytes() {
    assert_eq!((written(&None::<u8>), written(&Some(5_u8))), (vec![0], vec![1, 5]));
    assert_eq!(written(&"hi"), hexadecimal("02 68 69"));
    assert_eq!(written(&vec![1_u16, 128]), hexadecimal("02 01 80 01"));
    assert_eq!(written(&[1_u8, 2, 3]), hexadecimal("01 02 03"));
    assert_eq!(written(&Choice::A), hexadecimal("00"));
    assert_eq!(written(&Choice::B(128)), hexadecimal("01 80 01"));
    assert_eq!(written(&Choice::C { x: -1 }), hexadecimal("02 01"));
    assert_eq!(written(&(513_579_246_i32, -1, 500_u16)), [signed(513_579_246), vec![1], unsigned(500)].concat());
}

/// Why packed bytes need checks of their own: the wire format lets these pass.
#[test]
fn what_the_wire_format_lets_pass_is_known() {
    fn read<T: DeserializeOwned>(bytes: &str) -> Option<T> {
        postcard::from_bytes(&hexadecimal(bytes)).ok()
    }
    assert_eq!((read::<u16>("80 00"), read::<u16>("80 80 00")), (Some(0), Some(0)));
    assert_eq!((read::<u16>("80 80 80 00"), read::<u16>("FF FF 07"), read::<u16>("FF FF 83 00")), (None, None, None));
    assert_eq!(read::<u8>("01 02"), Some(1));
    assert_eq!((read::<bool>("01"), read::<bool>("02")), (Some(true), None));
    assert_eq!((overlong(&[0]), overlong(&[0xAC, 2])), (hexadecimal("80 00"), hexadecimal("AC 82 00")));
}

fn fly(to: (i32, i32), at: i32, speed: i32, hold: i32) -> Step {
    let speed = Speed::new(speed).expect("a speed in range");
    Step::Fly { to: position(to.0, to.1), height: height(at), speed, hold: duration(hold) }
}

/// A step and its bytes in a route from 0, 0, after a climb to 15 m (`00 B8 17`).
fn steps() -> [(Step, &'static str); 9] {
    [
        (climb(2500), "00 D0 0F"),
        (climb(1436), "00 7F"),
        (fly((0, 0), 1500, 0, 0), "01 00 00 00 00 00"),
        (fly((-1, 64), 1500, 250, 300), "01 01 80 01 00 F4 03 D8 04"),
        (
            fly((900_000_000, 1_800_000_000), 1437, -10_000, 8_640_000),
            "01 80 A4 A7 DA 06 80 C8 CE B4 0D 7D 9F 9C 01 80 D8 9E 08",
        ),
        (fly((-900_000_000, -1_800_000_000), 1500, 1, 0), "01 FF A3 A7 DA 06 FF C7 CE B4 0D 00 02 00"),
        (Step::Hold { time: duration(64) }, "02 80 01"),
        (Step::Land, "03"),
        (Step::Return, "04"),
    ]
}

#[test]
fn each_kind_of_step_has_the_published_bytes_in_a_route() {
    for (step, bytes) in steps() {
        let (route, _) = packed_route(&sample::launch(0, 0), &[climb(1500), step]);
        let body = [&written(&"invented")[..], &[0, 0, 0, 2], &hexadecimal("00 B8 17"), &hexadecimal(bytes)].concat();
        assert_eq!(route[10..route.len() - 4], body, "{step:?}");
    }
}

#[test]
fn a_launch_has_the_published_bytes_in_a_route() {
    let launch = |name: &str, elevation: Option<i32>| Launch {
        name: name.try_into().expect("short"),
        position: position(-65, 64),
        elevation: elevation.map(height),
    };
    for (launch, bytes) in [
        (launch("hi", None), "02 68 69 81 01 80 01 00 00"),
        (launch("", Some(0)), "00 81 01 80 01 01 00 00"),
        (launch("ä", Some(-1_000_000)), "02 C3 A4 81 01 80 01 01 FF 88 7A 00"),
    ] {
        let (route, _) = packed_route(&launch, &[]);
        assert_eq!(route[10..route.len() - 4], hexadecimal(bytes), "{launch:?}");
    }
}

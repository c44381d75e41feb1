//! Damage on the link: a frame that isn't whole is dropped, and the next one is read.

use pinfold_core::{
    link::{Ask, Bytes, Came, FRAME, FrameReader, Request, frame},
    wire::{Kind, envelope::checksum},
};
use pinfold_tests::packed::{overlong, random::cases};
use proptest::{collection::vec, prelude::*};

/// All that whole frames in these bytes say.
fn come(bytes: &[u8]) -> Vec<Came<Request>> {
    let mut reader = FrameReader::default();
    bytes.iter().filter_map(|byte| reader.take(*byte)).collect()
}

/// All the messages in these bytes.
fn read(reader: &mut FrameReader, bytes: &[u8]) -> Vec<Request> {
    bytes.iter().filter_map(|byte| reader.take(*byte)?.message()).collect()
}

fn read_alone(bytes: &[u8]) -> Vec<Request> {
    read(&mut FrameReader::default(), bytes)
}

/// A piece with zeros and without, so that its frame has groups of several lengths.
fn piece() -> Request {
    let bytes = Bytes::from_slice(&[7, 0, 0, 1, 2, 3, 0, 9, 9, 9, 9, 9, 9, 9, 9, 0]).expect("a piece");
    Request { sequence: 4711, ask: Ask::Piece { offset: 640, bytes } }
}

fn hello() -> Request {
    Request { sequence: 4712, ask: Ask::Hello }
}

/// A message's bytes in a frame, whatever they are; none of them zero once they are stuffed.
fn framed(body: &[u8]) -> Vec<u8> {
    let whole = [body, &checksum(body).to_le_bytes()].concat();
    let mut out = vec![0; FRAME + 200];
    let length = cobs::try_encode(&whole, &mut out).expect("room");
    out.truncate(length + 1);
    out
}

#[test]
fn one_or_two_flipped_bits_never_make_another_message() {
    let whole = frame(&piece()).to_vec();
    assert_eq!(read_alone(&whole), [piece()]);
    let bits = 8 * whole.len();
    for one in 0..bits {
        for other in one..bits {
            let mut damaged = whole.clone();
            damaged[one / 8] ^= 1 << (one % 8);
            // A bit alone is a pair with itself.
            if other != one {
                damaged[other / 8] ^= 1 << (other % 8);
            }
            assert_eq!(read_alone(&damaged), [], "bits {one} and {other}");
        }
    }
}

#[test]
fn a_frame_cut_short_or_begun_late_is_dropped_and_the_next_one_read() {
    let (whole, next) = (frame(&piece()), frame(&hello()));
    for cut in 1..whole.len() - 1 {
        let mut reader = FrameReader::default();
        let short = [&whole[..cut], &[0], &next].concat();
        assert_eq!(read(&mut reader, &short), [hello()], "{cut} bytes");
        let late = [&whole[cut..], &next[..]].concat();
        assert_eq!(read(&mut reader, &late), [hello()], "without {cut} bytes");
        let gap = [&whole[..cut], &whole[cut + 1..], &next].concat();
        assert_eq!(read(&mut reader, &gap), [hello()], "without byte {cut}");
        let doubled = [&whole[..=cut], &whole[cut..], &next].concat();
        assert_eq!(read(&mut reader, &doubled), [hello()], "byte {cut} twice");
    }
    // Without its zero byte the frame runs into the next one, and both are lost; the third is read.
    let merged = [&whole[..whole.len() - 1], &next, &next].concat();
    assert_eq!(read_alone(&merged), [hello()]);
}

#[test]
fn a_frame_that_never_ends_does_not_wedge_the_reader() {
    for length in [FRAME, FRAME + 1, 10_000] {
        let bytes = [&vec![0x55; length][..], &[0], &frame(&hello())].concat();
        assert_eq!(read_alone(&bytes), [hello()], "{length}");
    }
    // Zeros are no frames.
    assert_eq!(read_alone(&[&[0; 100][..], &frame(&hello())].concat()), [hello()]);
}

#[test]
fn a_message_written_in_another_way_is_no_message() {
    assert_eq!(read_alone(&framed(&[5, 1, 1])), [Request { sequence: 5, ask: Ask::Begin(Kind::Limits) }]);
    let other_ways: [Vec<u8>; 6] = [
        [overlong(&[5]), vec![1, 1]].concat(),
        [vec![5], overlong(&[1]), vec![1]].concat(),
        [vec![5, 1], overlong(&[1])].concat(),
        // Something follows; a kind and a question that don't exist.
        vec![5, 1, 1, 0],
        vec![5, 1, 3],
        vec![5, 6],
    ];
    for body in other_ways {
        assert_eq!(come(&framed(&body)), [Came::Unknown(5)], "{body:?}: the other side is told");
    }
    assert_eq!(come(&framed(&[0x80])), [], "not even a number to answer to");
    // A piece that is longer than a piece can be.
    let long = [vec![5, 2, 0, 65], vec![1; 65]].concat();
    assert_eq!(read_alone(&framed(&long)), []);
}

#[test]
fn a_wrong_checksum_is_not_taken_for_a_right_one() {
    let body = [5, 1, 1];
    for wrong in [0, !checksum(&body), checksum(&body).swap_bytes(), checksum(&[5, 1])] {
        let whole = [&body[..], &wrong.to_le_bytes()].concat();
        let mut out = vec![0; FRAME];
        let length = cobs::try_encode(&whole, &mut out).expect("room");
        assert_eq!(read_alone(&out[..=length]), [], "{wrong:08X}");
    }
}

proptest! {
    #![proptest_config(cases(2000))]

    #[test]
    fn random_bytes_make_no_message_but_by_its_very_frame(bytes in vec(prop_oneof![3 => any::<u8>(), 1 => 0_u8..5], 0..400)) {
        let mut reader = FrameReader::default();
        let mut start = 0;
        for (index, byte) in bytes.iter().enumerate() {
            if let Some(Came::Message(message)) = reader.take::<Request>(*byte) {
                prop_assert_eq!(&frame(&message)[..], &bytes[start..=index]);
            }
            if *byte == 0 {
                start = index + 1;
            }
        }
        // Whatever came before: after a zero byte the next frame is read.
        reader.take::<Request>(0);
        prop_assert_eq!(read(&mut reader, &frame(&hello())), [hello()]);
    }

    #[test]
    fn a_random_body_makes_no_message_but_by_its_very_frame(body in vec(prop_oneof![any::<u8>(), 0_u8..5], 0..80)) {
        for message in read_alone(&framed(&body)) {
            prop_assert_eq!(&frame(&message)[..], &framed(&body)[..]);
        }
    }

    #[test]
    fn every_request_is_read_as_it_was_sent(
        sequence in any::<u16>(), offset in any::<u32>(), bytes in vec(prop_oneof![any::<u8>(), Just(0)], 0..=64),
    ) {
        let bytes = Bytes::from_slice(&bytes).expect("a piece");
        let request = Request { sequence, ask: Ask::Piece { offset, bytes } };
        prop_assert_eq!(read_alone(&frame(&request)), [request]);
    }
}

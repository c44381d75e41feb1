//! Fingerprints are made of the published digest in the published alphabet.
//!
//! Sources: NIST, FIPS 180-4, SHA-256, with the examples that NIST publishes for it (digests from memory; any other hash would
//! give others); RFC 4648, section 6 (the alphabet; written a second time below) and section 10 (test vectors).

use pinfold_core::fingerprint::Fingerprint;

/// Message and the first five bytes of its SHA-256.
fn digests() -> [(Vec<u8>, [u8; 5]); 5] {
    [
        (b"".to_vec(), [0xE3, 0xB0, 0xC4, 0x42, 0x98]),
        (b"abc".to_vec(), [0xBA, 0x78, 0x16, 0xBF, 0x8F]),
        // 448 and 896 bits: the padding takes another block.
        (
            b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq".to_vec(),
            [0x24, 0x8D, 0x6A, 0x61, 0xD2],
        ),
        (
            b"abcdefghbcdefghicdefghijdefghijkefghijklfghijklmghijklmnhijklmnoijklmnopjklmnopqklmnopqrlmnopqrsmnopqrstnopqrstu"
                .to_vec(),
            [0xCF, 0x5B, 0x16, 0xA7, 0x78],
        ),
        (vec![b'a'; 1_000_000], [0xCD, 0xC7, 0x6E, 0x5C, 0x99]),
    ]
}

/// Forty bits as a fingerprint: it is packed as its five bytes.
fn fingerprint(bytes: &[u8; 5]) -> Fingerprint {
    postcard::from_bytes(bytes).expect("any five bytes")
}

/// RFC 4648, section 6, for exactly forty bits, as its text puts it: groups of five bits from the first on.
fn base32(bytes: [u8; 5]) -> String {
    let bits: String = bytes.iter().map(|byte| format!("{byte:08b}")).collect();
    let value = |index: usize| u8::from_str_radix(&bits[5 * index..5 * index + 5], 2).expect("five bits");
    let letter = |value: u8| if value < 26 { b'A' + value } else { b'2' + value - 26 };
    (0..8).map(value).map(letter).map(char::from).collect()
}

#[test]
fn a_fingerprint_begins_as_the_published_digest_does() {
    for (message, published) in digests() {
        let found = Fingerprint::of(&message);
        assert_eq!(found.bytes(), published, "{} bytes", message.len());
        let text = base32(published);
        assert_eq!(found.to_string(), format!("{}-{}", &text[..4], &text[4..]));
    }
}

#[test]
fn forty_bits_are_written_in_the_published_alphabet() {
    // "fooba" and the first eight characters of "foobar".
    assert_eq!(&fingerprint(b"fooba").characters(), b"MZXW6YTB");
    assert_eq!(fingerprint(b"fooba").to_string(), "MZXW-6YTB");
    assert_eq!(fingerprint(&[0; 5]).to_string(), "AAAA-AAAA");
    assert_eq!(fingerprint(&[0xFF; 5]).to_string(), "7777-7777");
    assert_eq!(Fingerprint::NONE, fingerprint(&[0; 5]));
}

#[test]
fn every_character_of_the_alphabet_is_at_its_place() {
    for value in 0..32_u64 {
        for place in 0..8 {
            let bits = (value << (5 * place)).to_be_bytes();
            let bytes = [bits[3], bits[4], bits[5], bits[6], bits[7]];
            assert_eq!(String::from_utf8_lossy(&fingerprint(&bytes).characters()), base32(bytes));
        }
    }
}

//! Values as serde hands them out, each primitive with its bytes and the names that lead to it.

use std::any::type_name;

use pinfold_core::fingerprint::Fingerprint;
use postcard::Error;
use serde::{
    Deserialize,
    de::{
        DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, IntoDeserializer as _, SeqAccess, VariantAccess,
        Visitor,
        value::{SeqDeserializer, U32Deserializer},
    },
};

use super::{Field, quantity};

/// What is written in a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Raw {
    /// A part of the envelope.
    Bytes,
    Unsigned(u64),
    Signed(i64),
    Text(String),
    /// Whether an option's value follows.
    Given(bool),
    /// How many items of a list follow.
    Items(u64),
    /// The number and name of a variant.
    Variant(u32, &'static str),
    Fingerprint(Fingerprint),
}

/// Takes values from the front of bytes, and remembers each field.
pub(crate) struct Trace<'b> {
    rest: &'b [u8],
    /// Where the rest begins in the whole file.
    pub(super) at: usize,
    pub(super) fields: Vec<Field<'b>>,
    /// The names that lead to the value that is being read.
    path: Vec<String>,
    of: String,
    /// The type of that value.
    quantity: &'static str,
}

impl<'b> Trace<'b> {
    pub(super) fn new(bytes: &'b [u8], at: usize) -> Self {
        Self { rest: bytes, at, fields: Vec::new(), path: Vec::new(), of: String::new(), quantity: "" }
    }

    /// Takes the next value, which belongs to `of` and is called `name`, or has names of its own.
    pub(super) fn value<T: DeserializeOwned>(&mut self, of: &str, name: &str) -> Result<T, Error> {
        of.clone_into(&mut self.of);
        self.path = [name].into_iter().filter(|name| !name.is_empty()).map(str::to_owned).collect();
        self.quantity = last_name(type_name::<T>());
        T::deserialize(&mut *self)
    }

    /// Says more of the fields of the value taken last, from number `first` on.
    pub(super) fn tell(&mut self, first: usize, name: &str, value: impl FnOnce(&Field<'b>) -> String) {
        let found = self.fields.iter_mut().skip(first).find(|field| field.name == name);
        if let Some(field) = found {
            field.value = value(field);
        }
    }

    /// Takes one primitive, by the library that core takes it with.
    fn take<T: Deserialize<'b>>(&mut self, raw: impl FnOnce(&T) -> Raw) -> Result<T, Error> {
        let (value, rest) = postcard::take_from_bytes::<T>(self.rest)?;
        let (bytes, _) = self.rest.split_at(self.rest.len() - rest.len());
        self.push(bytes, raw(&value));
        self.rest = rest;
        Ok(value)
    }

    fn push(&mut self, bytes: &'b [u8], raw: Raw) {
        // What kind of step it is has no name of its own.
        let name = if self.path.is_empty() { "do".to_owned() } else { self.path.join(".") };
        let of = self.of.clone();
        let value = quantity::shown(&raw, self.quantity, &name);
        self.fields.push(Field { offset: self.at, bytes, of, name, value, raw, quantity: self.quantity });
        self.at += bytes.len();
    }

    /// Reads one item under its name.
    fn item<S: DeserializeSeed<'b>>(&mut self, name: String, seed: S) -> Result<S::Value, Error> {
        let outside = std::mem::replace(&mut self.quantity, last_name(type_name::<S>()));
        self.path.push(name);
        let value = seed.deserialize(&mut *self);
        self.path.pop();
        self.quantity = outside;
        value
    }
}

/// The last name in the name of a type: what it is about, whatever it is wrapped in.
///
/// A type's name is for people to read, and so is what is made of it here; that it still is what it should be is tested.
fn last_name(name: &'static str) -> &'static str {
    name.rsplit(|c: char| !c.is_alphanumeric()).find(|word| !word.is_empty()).unwrap_or("")
}

/// The items of a list, a tuple or a struct.
struct Items<'t, 'b> {
    trace: &'t mut Trace<'b>,
    names: &'static [&'static str],
    next: usize,
    length: usize,
}

impl<'b> SeqAccess<'b> for Items<'_, 'b> {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'b>>(&mut self, seed: S) -> Result<Option<S::Value>, Error> {
        if self.next == self.length {
            return Ok(None);
        }
        let name = self.names.get(self.next).map_or_else(|| (self.next + 1).to_string(), |name| (*name).to_owned());
        self.next += 1;
        self.trace.item(name, seed).map(Some)
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.length - self.next)
    }
}

/// The variant of an enum, and what it holds.
struct Variant<'t, 'b> {
    trace: &'t mut Trace<'b>,
    number: u32,
}

impl<'b> EnumAccess<'b> for Variant<'_, 'b> {
    type Error = Error;
    type Variant = Self;

    fn variant_seed<S: DeserializeSeed<'b>>(self, seed: S) -> Result<(S::Value, Self), Error> {
        let number: U32Deserializer<Error> = self.number.into_deserializer();
        seed.deserialize(number).map(|value| (value, self))
    }
}

impl<'b> VariantAccess<'b> for Variant<'_, 'b> {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        Ok(())
    }

    fn newtype_variant_seed<S: DeserializeSeed<'b>>(self, seed: S) -> Result<S::Value, Error> {
        seed.deserialize(self.trace)
    }

    fn tuple_variant<V: Visitor<'b>>(self, length: usize, visitor: V) -> Result<V::Value, Error> {
        self.trace.deserialize_tuple(length, visitor)
    }

    fn struct_variant<V: Visitor<'b>>(self, fields: &'static [&'static str], visitor: V) -> Result<V::Value, Error> {
        self.trace.deserialize_struct("", fields, visitor)
    }
}

/// What is packed nowhere.
macro_rules! never {
    ($($method:ident($($argument:ident: $type:ty),*);)*) => {$(
        fn $method<V: Visitor<'b>>(self, $($argument: $type,)* _: V) -> Result<V::Value, Error> {
            $(let _ = $argument;)*
            Err(Error::WontImplement)
        }
    )*};
}

/// Primitives.
macro_rules! primitive {
    ($($method:ident $visit:ident: $type:ty => $raw:ident;)*) => {$(
        fn $method<V: Visitor<'b>>(self, visitor: V) -> Result<V::Value, Error> {
            let value = self.take(|value: &$type| Raw::$raw((*value).into()))?;
            visitor.$visit(value)
        }
    )*};
}

impl<'b> Deserializer<'b> for &mut Trace<'b> {
    type Error = Error;

    primitive! {
        deserialize_u8 visit_u8: u8 => Unsigned;
        deserialize_u16 visit_u16: u16 => Unsigned;
        deserialize_u32 visit_u32: u32 => Unsigned;
        deserialize_u64 visit_u64: u64 => Unsigned;
        deserialize_i8 visit_i8: i8 => Signed;
        deserialize_i16 visit_i16: i16 => Signed;
        deserialize_i32 visit_i32: i32 => Signed;
        deserialize_i64 visit_i64: i64 => Signed;
        deserialize_str visit_str: &str => Text;
        deserialize_string visit_str: &str => Text;
    }

    never! {
        deserialize_any(); deserialize_bool(); deserialize_f32(); deserialize_f64(); deserialize_char(); deserialize_bytes();
        deserialize_byte_buf(); deserialize_unit(); deserialize_unit_struct(name: &'static str); deserialize_map();
        deserialize_identifier(); deserialize_ignored_any();
    }

    fn deserialize_option<V: Visitor<'b>>(self, visitor: V) -> Result<V::Value, Error> {
        // Nothing but whether there is something: what follows has names of its own.
        let flag = |given: &Option<()>| Raw::Given(given.is_some());
        match self.take(flag)? {
            Some(()) => visitor.visit_some(self),
            None => visitor.visit_none(),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'b>>(self, _: &'static str, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'b>>(self, visitor: V) -> Result<V::Value, Error> {
        let length = self.take(|length: &u64| Raw::Items(*length))?;
        let length = usize::try_from(length).map_err(|_| Error::DeserializeBadVarint)?;
        visitor.visit_seq(Items { trace: self, names: &[], next: 0, length })
    }

    fn deserialize_tuple<V: Visitor<'b>>(self, length: usize, visitor: V) -> Result<V::Value, Error> {
        // A fingerprint is five bytes and one field.
        if self.quantity == "Fingerprint" {
            let fingerprint = self.take(|fingerprint: &Fingerprint| Raw::Fingerprint(*fingerprint))?;
            return visitor.visit_seq(SeqDeserializer::new(fingerprint.bytes().into_iter()));
        }
        let names: &[&str] = if self.quantity == "PackedCell" { &["lowest", "highest"] } else { &[] };
        visitor.visit_seq(Items { trace: self, names, next: 0, length })
    }

    fn deserialize_tuple_struct<V: Visitor<'b>>(
        self, _: &'static str, length: usize, visitor: V,
    ) -> Result<V::Value, Error> {
        self.deserialize_tuple(length, visitor)
    }

    fn deserialize_struct<V: Visitor<'b>>(
        self, _: &'static str, names: &'static [&'static str], visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_seq(Items { trace: self, names, next: 0, length: names.len() })
    }

    fn deserialize_enum<V: Visitor<'b>>(
        self, _: &'static str, variants: &'static [&'static str], visitor: V,
    ) -> Result<V::Value, Error> {
        let name = |number: u32| variants.get(number as usize).copied().unwrap_or("none that can be");
        let number = self.take(|number: &u32| Raw::Variant(*number, name(*number)))?;
        visitor.visit_enum(Variant { trace: self, number })
    }

    fn is_human_readable(&self) -> bool {
        false
    }
}

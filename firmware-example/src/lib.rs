//! One firmware over traits ([`firmware`], [`platform`]), and the boards that it runs on ([`boards`]).
//!
//! For another board, write a folder beside these: a type that is a [`platform::Platform`], and a `memory.x`. Whatever
//! implements the traits of `embedded-hal`, `embedded-io` and `embedded-storage` will do.

#![no_std]

pub mod boards;
mod elapsed;
mod fault;
pub mod firmware;
pub mod log;
mod panic;
pub mod platform;
pub mod slots;
mod stack;

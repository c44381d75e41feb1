//! The command as a person or a program meets it: what it prints and how it exits.

mod bad_limits;
mod bad_route;
mod bad_site;
mod board;
mod damage;
mod energy;
mod example;
mod files;
mod flight;
mod ground;
mod here;
mod learn;
mod lines;
mod optional_limits;
mod output;
mod packed_ground;
mod power;
mod presets;
mod sentences;
mod support;

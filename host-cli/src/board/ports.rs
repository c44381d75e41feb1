//! Serial ports, and what the system knows of them.

use std::path::Path;

use serde_json::{Value, json};
use serialport::{SerialPortInfo, SerialPortType, UsbPortInfo};

use crate::problem::Problem;

/// The TCP address that a text is, HOST:PORT; `None` for the name of a serial port, which may have colons in its path.
pub(crate) fn address(port: &str) -> Option<&str> {
    let path = port.starts_with(['/', '\\', '.']);
    let number =
        port.rsplit_once(':').and_then(|(host, number)| number.parse::<u16>().ok().filter(|_| !host.is_empty()));
    number.filter(|_| !path).map(|_| port)
}

/// All serial ports, by name.
pub(crate) fn all() -> Result<Vec<SerialPortInfo>, Problem> {
    // The library takes this folder for granted.
    if cfg!(target_os = "linux") && !Path::new("/sys/class/tty").is_dir() {
        return Ok(Vec::new());
    }
    let mut ports = serialport::available_ports().map_err(|error| {
        Problem::file(Path::new("serial ports"), format!("the system doesn't list them: {}", error.description))
            .help("name the port all the same: --port PORT")
    })?;
    ports.sort_by(|one, other| one.port_name.cmp(&other.port_name));
    Ok(ports)
}

/// What the system knows of a port.
pub(crate) fn described(port: &SerialPortInfo) -> String {
    match &port.port_type {
        SerialPortType::UsbPort(usb) => {
            let known = [&usb.manufacturer, &usb.product].into_iter().flatten().cloned();
            let serial = usb.serial_number.iter().map(|number| format!("serial number {number}"));
            let parts: Vec<String> = [format!("USB {}", numbers(usb))].into_iter().chain(known).chain(serial).collect();
            parts.join(", ")
        }
        SerialPortType::BluetoothPort => "Bluetooth".into(),
        SerialPortType::PciPort => "built in (PCI)".into(),
        SerialPortType::Unknown => "nothing known of it".into(),
    }
}

/// Numbers of maker and product, as USB writes them.
fn numbers(usb: &UsbPortInfo) -> String {
    format!("{:04x}:{:04x}", usb.vid, usb.pid)
}

/// A port for programs.
pub(crate) fn object(port: &SerialPortInfo) -> Value {
    let (kind, usb) = match &port.port_type {
        SerialPortType::UsbPort(usb) => ("usb", Some(usb)),
        SerialPortType::BluetoothPort => ("bluetooth", None),
        SerialPortType::PciPort => ("pci", None),
        SerialPortType::Unknown => ("unknown", None),
    };
    json!({
        "port": port.port_name,
        "kind": kind,
        "usb": usb.map(numbers),
        "manufacturer": usb.and_then(|usb| usb.manufacturer.clone()),
        "product": usb.and_then(|usb| usb.product.clone()),
        "serial_number": usb.and_then(|usb| usb.serial_number.clone()),
    })
}

/// What to write where no port was given.
pub(crate) fn missing(ports: &[SerialPortInfo]) -> Problem {
    let problem = Problem::file(Path::new("command line"), "`--port` is missing: where is the board?");
    let listed: Vec<String> =
        ports.iter().map(|port| format!("--port {} ({})", port.port_name, described(port))).collect();
    problem.help(match &listed[..] {
        [] => "there is no serial port: plug the board in, or write --port HOST:PORT for an emulated board".to_owned(),
        some => format!("write {}, or --port HOST:PORT for an emulated board", some.join(", or ")),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn port(name: &str, port_type: SerialPortType) -> SerialPortInfo {
        SerialPortInfo { port_name: name.into(), port_type }
    }

    fn usb() -> SerialPortInfo {
        let product = Some("invented board".into());
        let known = UsbPortInfo { vid: 0x2e8, pid: 10, serial_number: Some("7".into()), manufacturer: None, product };
        port("/dev/ttyACM0", SerialPortType::UsbPort(known))
    }

    #[test]
    fn a_path_with_colons_is_no_address() {
        for name in [
            "COM3",
            "COM3:",
            "/dev/ttyACM0",
            "/dev/serial/by-path/pci-0000:00:14.0-usb-0:1:1",
            ":7373",
            "a:b",
            "a:70000",
        ] {
            assert_eq!(address(name), None, "{name}");
        }
        for name in ["127.0.0.1:7373", "localhost:1", "[::1]:7373"] {
            assert_eq!(address(name), Some(name));
        }
    }

    #[test]
    fn who_gives_no_port_is_told_what_to_write() {
        let none = missing(&[]).json().to_string();
        assert!(none.contains("no serial port") && none.contains("--port HOST:PORT"), "{none}");
        let some = missing(&[usb(), port("/dev/ttyS0", SerialPortType::PciPort)]).json().to_string();
        assert!(
            some.contains("write --port /dev/ttyACM0 (USB 02e8:000a, invented board, serial number 7), or"),
            "{some}"
        );
        assert!(some.contains("--port /dev/ttyS0 (built in (PCI)), or --port HOST:PORT"), "{some}");
    }

    #[test]
    fn what_is_known_of_a_port_is_there_for_programs() {
        let object = object(&usb());
        assert_eq!((&object["kind"], &object["usb"]), (&"usb".into(), &"02e8:000a".into()));
        assert_eq!((&object["product"], &object["manufacturer"]), (&"invented board".into(), &Value::Null));
    }
}

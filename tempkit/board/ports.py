"""Serial ports by name or by URL, opened so that a read never waits and never loses what has come."""

import contextlib
import socket
import sys
from urllib.parse import urlsplit

from tempkit.ranges import whole_number

CONNECT_S = 5.0
BITS = {"5": 5, "6": 6, "7": 7, "8": 8}
PARITIES, STOPS = ("N", "E", "O", "M", "S"), {"1": 1, "1.5": 1.5, "2": 2}


def opened(port, baud=9600, frame="8N1"):
    """An open port: `read(n)` gives at once what is there, up to n bytes, and raises `OSError` once unplugged.

    port : a name as `board ports` prints it, or a URL such as "socket://127.0.0.1:5000"; baud [bit/s]; frame :
    bits, parity, stop bits. No other program that asks for the port alone can share it: each would get a part
    of every line. Raises `ValueError` for a baud, frame or URL that makes no sense, and `OSError` for a port that
    cannot be opened. Source: pyserial's documentation.

    >>> opened("socket://127.0.0.1:5000", frame="9N1")
    Traceback (most recent call last):
        ...
    ValueError: frame '9N1' is not bits (5 to 8), parity (N, E, O, M, S) and stop bits (1, 1.5, 2): write 8N1
    """
    import serial

    bits, parity, stops = split_frame(frame)
    baud = whole_number(baud, 50, 10_000_000, name="baud", unit="bit/s", advice="give the one of the board's program")
    if port.lower().startswith("socket://"):
        return SocketPort(port)
    # With a timeout of 0 pyserial reads once. A longer one reads again and again, and throws away what it has when the
    # port goes away in between.
    settings = {"baudrate": baud, "bytesize": bits, "parity": parity, "stopbits": stops, "timeout": 0}
    try:
        return serial.serial_for_url(port, exclusive=True, **settings)
    except (OSError, ValueError):
        raise
    except Exception as error:  # the system's terminal settings have an error of their own
        raise OSError(f"could not open port {port}: {error}") from None


class SocketPort:
    """A TCP port as `opened` gives it. pyserial's own throws away at opening what has already come.

    url : such as "socket://127.0.0.1:5000". Raises `ValueError` for one that makes no sense, `OSError` where nobody
    answers.

    >>> SocketPort("socket://127.0.0.1")
    Traceback (most recent call last):
        ...
    ValueError: port 'socket://127.0.0.1' is not socket://HOST:NUMBER, with a number from 1 to 65535
    """

    def __init__(self, url):
        try:
            parts = urlsplit(url)
            address = (parts.hostname or "", parts.port or 0)
        except ValueError:
            address = ("", 0)
        if not all(address):
            raise ValueError(f"port {url!r} is not socket://HOST:NUMBER, with a number from 1 to 65535")
        self._socket = socket.create_connection(address, CONNECT_S)
        self._socket.setblocking(False)

    def read(self, size):
        """What is there, up to `size` bytes."""
        try:
            data = self._socket.recv(size)
        except BlockingIOError:
            return b""
        if not data:
            raise OSError("socket disconnected")
        return data

    def close(self):
        """Hang up."""
        self._socket.close()


def split_frame(frame):
    """Frame as text -> data bits, parity, stop bits.

    >>> split_frame("7E1")
    (7, 'E', 1)
    """
    bits, parity, stops = frame[:1], frame[1:2].upper(), frame[2:]
    if bits not in BITS or parity not in PARITIES or stops not in STOPS:
        raise ValueError(
            f"frame {frame!r} is not bits (5 to 8), parity (N, E, O, M, S) and stop bits (1, 1.5, 2): write 8N1"
        )
    return BITS[bits], parity, STOPS[stops]


REASONS = (
    (("FileNotFoundError", "No such file"), "there is no such port: is the board plugged in, is the name right?"),
    (("Connection refused", "actively refused", "timed out"), "nobody answers there"),
    (("exclusively lock", "Access is denied", "Resource busy"), "another program has the port open: close it"),
    (("Permission denied",), "no permission: on Linux the port's group is often dialout; join it and log in again"),
    (("No address", "not known", "getaddrinfo"), "there is no computer of that name"),
    (
        ("returned no data", "socket disconnected", "Connection reset", "forcibly closed", "Input/output error")
        + ("ClearCommError",),
        "the port went away",
    ),
)


def reason(error):
    """An error of a port in plain words, or as the system says it.

    >>> reason(OSError("read failed: socket disconnected")), reason(OSError("on fire"))
    ('the port went away', 'on fire')
    """
    said = str(error)
    return next((plain for signs, plain in REASONS if any(sign in said for sign in signs)), said)


def shut(port):
    """Close a port for good, also one that has gone away."""
    with contextlib.suppress(OSError):
        port.close()


def found():
    """Names of the serial ports of this computer, with what the system says of each; empty where there is none.

    >>> all(isinstance(name, str) for name in found())
    True
    """
    from serial.tools import list_ports

    return {each.device: each.description for each in sorted(list_ports.comports())}


def has_pseudo_terminals():
    """Whether this system has pseudo-terminals: Linux and macOS have, Windows has not.

    >>> has_pseudo_terminals() == (sys.platform != "win32")
    True
    """
    return sys.platform != "win32"

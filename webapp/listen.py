"""Takes the address before anything else is touched, and tells which addresses lead to it."""

import errno
import os
import socket

from webapp.hosts import HTTP_PORT, is_address, short_name
from webapp.settings import StartError, is_loopback

_WILDCARDS = ("0.0.0.0", "::")  # noqa: S104  (compared with, not bound to)


def bind(host: str, port: int) -> socket.socket:
    """A socket bound to the address, or StartError with the reason in one sentence."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    except (OSError, UnicodeError) as error:
        raise StartError(
            f"The host {host!r} is not known here: give --host an address such as 127.0.0.1."
        ) from error
    family, kind, protocol, _, address = found[0]
    sock = socket.socket(family, kind, protocol)
    try:
        if os.name == "posix":
            # Without this a restart would wait for the last run's connections to be forgotten.
            sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        sock.bind(address)
        # Linux lets two sockets bind one port until one of them listens.
        sock.listen()
    except OSError as error:
        sock.close()
        raise StartError(_sentence(error, host, port)) from error
    return sock


def addresses(host: str, port: int) -> list[str]:
    """The addresses to open, the likeliest first."""
    hosts = [*_lan_addresses(), "127.0.0.1"] if host in _WILDCARDS else [host]
    return [f"http://{f'[{name}]' if ':' in name else name}:{port}/" for name in hosts]


def named_address(host: str, port: int) -> str:
    """The address by this machine's own name, which stays what it is when the network gives it another number.

    >>> named_address("lathe.lan", 80), named_address("0.0.0.0", 8730).endswith(".local:8730")
    ('http://lathe.lan', True)
    """
    own = not is_address(host) and not is_loopback(host)
    # Multicast DNS (RFC 6762) finds a machine by this name where there is no other directory of names.
    name = host.lower() if own else f"{short_name()}.local"
    return f"http://{name}" if port == HTTP_PORT else f"http://{name}:{port}"


def _sentence(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return f"Port {port} is taken, perhaps by a spokeshed already running: give another with --port."
    if error.errno == errno.EACCES:
        return f"Port {port} is not allowed here: give one from 1024 up with --port, such as 8730."
    if error.errno == errno.EADDRNOTAVAIL:
        return f"The address {host} does not belong to this machine: use 127.0.0.1, or 0.0.0.0 for a tablet."
    return f"The address {host} port {port} cannot be used: {error.strerror}."


def _lan_addresses() -> list[str]:
    """This machine's own address on the network it would use; connecting a datagram socket sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sock:
        try:
            # 192.0.2.1 is kept for documentation (RFC 5737): nobody is there.
            sock.connect(("192.0.2.1", 9))
        except OSError:
            return []  # no network: only this machine can open the program
        found: str = sock.getsockname()[0]
    return [] if is_loopback(found) else [found]

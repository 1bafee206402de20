"""The command `spokeshed`: take the address, make the data file ready, serve; or back up, or restore."""

import argparse
import os
import platform
import secrets
import signal
import sys
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from webapp.settings import DEFAULT_HOST, DEFAULT_PORT, Settings, StartError, default_data, version

if TYPE_CHECKING:
    from fastapi import FastAPI

LAST_PORT = 65535
_CODE_ENDS = "It ends in 10 minutes. For another: Workshop, Devices on a device that is let in, or spokeshed code here."


def main(arguments: Sequence[str] | None = None) -> int:
    """Run until stopped, or do the one thing asked; 2 when it cannot, with one sentence why."""
    given = _parser().parse_args(arguments)
    settings = _settings(given)
    try:
        done = _do(given, settings)
        # What is read by another program is written as it ends: here, where it may have gone.
        sys.stdout.flush()
        return done
    except BrokenPipeError:
        # Such as `head`, which has read enough. Python would try once more as it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except StartError as error:
        print(f"spokeshed: {error}", file=sys.stderr)
        return 2
    except Exception as error:
        print(f"spokeshed: {_fault(error, settings)}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("spokeshed: stopped.")
    return 0


def _fault(error: Exception, settings: Settings) -> str:
    """What is wrong with the data file, in a sentence; any other error goes on its way."""
    from webapp.faults import fault_of

    if (fault := fault_of(error.__cause__ or error)) is None:
        raise error
    return f"The data file {settings.data} cannot be used: {fault.why}; {fault.remedy}."


def _do(given: argparse.Namespace, settings: Settings) -> int:
    if given.command is None:
        _run(settings)
        return 0
    if given.command == "code":
        from webapp.devices.gate import new_code_beside

        print(f"Code for a new device: {new_code_beside(settings)}", _CODE_ENDS, sep="\n")
        return 0
    if given.command == "doctor":
        from webapp.doctor import report

        return report(settings)
    if given.command == "service":
        from webapp.service import service

        found = service(settings)
        print(found.text, end="")
        # Apart, so that the text alone goes into the file it is for.
        print(found.how, end="", file=sys.stderr)
        return 0
    from webapp import backup

    file = given.file.expanduser().absolute()
    if given.command == "backup":
        backup.back_up(settings.data, file, demo=settings.demo)
        print(f"Backed up {settings.data} to {file}.")
    else:
        aside = backup.restore(settings.data, file, demo=settings.demo)
        kept = "" if aside is None else f" What was there is kept as {aside}."
        print(f"Restored {settings.data} from {file}.{kept}")
    return 0


def _run(settings: Settings) -> None:
    from webapp import logbook
    from webapp.datafile import held
    from webapp.listen import bind
    from webapp.upgrade import admit, prepare

    # From the first moment on, the system's wish to stop is the same as Ctrl+C.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    # The port first: a second start must not touch the data of the first.
    with bind(settings.host, settings.port) as sock:
        settings = replace(settings, port=sock.getsockname()[1])
        admit(settings.data, demo=settings.demo)
        with held(settings.data, serving=True), logbook.kept(settings.data):
            prepare(settings.data, demo=settings.demo)
            from webapp.app import create_app
            from webapp.server import serve

            app = create_app(settings)
            try:
                if settings.demo:
                    from webapp.demo.builds import make_demo

                    make_demo(app.state.db)
                app.state.copies.start()
                serve(app, sock, ready=partial(_announce, app), close=partial(_close, app))
            finally:
                _close(app)


def _close(app: "FastAPI") -> None:
    from webapp.db import FileFault, FileGone
    from webapp.faults import line
    from webapp.logbook import log

    app.state.copies.stop()
    try:
        app.state.db.close()
    except FileFault as error:
        kept = "what was stored is safe in the -wal file beside the data, and is read from there at the next start"
        print(f"spokeshed: {line(error.__cause__ or error)}: {kept}.", file=sys.stderr, flush=True)
    except FileGone as error:
        log.error("spokeshed: %s", error)
        # At an ordinary end Python closes the connections, and SQLite then folds the log into an emptied
        # file and deletes it: what is left is to be left alone.
        os._exit(2)


def _announce(app: "FastAPI") -> None:
    from webapp.listen import addresses
    from webapp.logbook import log

    settings: Settings = app.state.settings
    first, *others = addresses(settings.host, settings.port)
    print(f"Open {first}" + "".join(f" (on this machine: {other})" for other in others))
    if settings.device_code is not None:
        print(f"Code for a new device: {settings.device_code}", _CODE_ENDS, sep="\n")
    print(f"Data: {settings.data}", *app.state.told, "Stop with Ctrl+C.", sep="\n", flush=True)
    log.info(
        "Started spokeshed %s with Python %s, on %s port %s, data %s.",
        version(), platform.python_version(), settings.host, settings.port, settings.data.name,
    )  # fmt: skip
    app.state.late.load_soon()


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"spokeshed: {message}; spokeshed --help shows what can be given.\n")


def _settings(given: argparse.Namespace) -> Settings:
    data: Path = default_data(given.demo) if given.data is None else given.data.expanduser().absolute()
    second = None if given.copies is None else given.copies.expanduser().absolute()
    settings = Settings(data, given.host, given.port, given.demo, copies=second)
    # Made afresh at each start; devices that gave an earlier one stay let in.
    code = None if settings.on_loopback else f"{secrets.randbelow(10**6):06}"
    return replace(settings, device_code=code)


def _parser() -> _Parser:
    parser = _Parser(prog="spokeshed", description="Follow every wheel casting from received to painted.")
    _add_data(parser)
    _add_address(parser, DEFAULT_HOST, DEFAULT_PORT)
    parser.add_argument(
        "--copies",
        type=Path,
        metavar="FOLDER",
        help="put each copy of the data there as well, such as a folder on a stick",
    )
    commands = parser.add_subparsers(dest="command", metavar="", title="instead of starting")
    for command, help_text, file_text in (
        ("backup", "copy the data to FILE, also while spokeshed runs", "a new file"),
        ("restore", "put the copy FILE in place of the data", "a copy made by backup"),
    ):
        one = commands.add_parser(
            command, help=help_text, description=f"{help_text[:1].upper()}{help_text[1:]}."
        )
        one.add_argument("file", type=Path, metavar="FILE", help=file_text)
        # What was given before the command stands.
        _add_data(one, default=argparse.SUPPRESS)
    code = commands.add_parser("code", help="make a code for a new device, while spokeshed runs")
    _add_data(code, default=argparse.SUPPRESS)
    for command, help_text in (
        ("doctor", "look over file, copies, port, address, disk and clock, and say what to do"),
        ("service", "print what starts spokeshed with the machine"),
    ):
        one = commands.add_parser(
            command, help=help_text, description=f"{help_text[:1].upper()}{help_text[1:]}."
        )
        _add_data(one, default=argparse.SUPPRESS)
        _add_address(one, argparse.SUPPRESS, argparse.SUPPRESS)
    return parser


def _add_address(parser: argparse.ArgumentParser, host: str, port: int | str) -> None:
    add = parser.add_argument
    add("--host", default=host, help=f"0.0.0.0 lets the shop tablet in (default: {DEFAULT_HOST})")
    add("--port", type=_port, default=port, help=f"0 takes any that is free (default: {DEFAULT_PORT})")


def _add_data(parser: argparse.ArgumentParser, **default: Any) -> None:
    parser.add_argument(
        "--data", type=Path, metavar="FILE", help="the data file (default: in your data folder)", **default
    )
    parser.add_argument(
        "--demo", action="store_true", help="open two invented builds, in a file of their own", **default
    )


def _port(text: str) -> int:
    if not (text.isascii() and text.isdecimal()) or int(text[:9]) > LAST_PORT:
        raise argparse.ArgumentTypeError(
            f"a port is a whole number from 0 to {LAST_PORT}, such as {DEFAULT_PORT}"
        )
    return int(text)


if __name__ == "__main__":
    sys.exit(main())

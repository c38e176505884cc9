"""The group of commands, and how each ends: 0 done, 1 problems, 2 wrong use, 3 the machine refused, 130 interrupted."""

from __future__ import annotations

import importlib
import os
import sys
from typing import Any

import click

from benchlore import __version__
from benchlore.cli.words import complain
from benchlore.writing import MachineRefused

COMMANDS = {
    "build": "benchlore.cli.building:build",
    "audit": "benchlore.cli.building:audit",
    "find": "benchlore.cli.finding:find",
    "suspects": "benchlore.cli.suspecting:suspects",
    "reckon": "benchlore.cli.reckoning:reckon",
    "draft": "benchlore.cli.writing:draft",
    "tidy": "benchlore.cli.writing:tidy",
    "start": "benchlore.cli.writing:start",
    "preview": "benchlore.cli.previewing:preview",
    "export": "benchlore.cli.exporting:export",
    "schema": "benchlore.cli.writing:schema",
    "bundle": "benchlore.cli.sharing:bundle",
    "absorb": "benchlore.cli.sharing:absorb",
    "completion": "benchlore.cli.completing:completion",
}
EXIT = "Exit status: 0 done, 1 problems in the entries, 2 wrong use, 3 the machine refused (disk, permission), 130 stopped by Ctrl-C."


class Lazy(click.Group):
    """A group whose commands are imported when they are asked for, so that help comes at once."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        module, _, attribute = COMMANDS[name].partition(":")
        command: click.Command = getattr(importlib.import_module(module), attribute)
        command.epilog = EXIT
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Each command with its whole first sentence."""
        commands = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        with formatter.section("Commands"):
            formatter.write_dl([(name, command.get_short_help_str(200)) for name, command in commands if command])


@click.group(cls=Lazy, epilog=EXIT, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="benchlore")
def group() -> None:
    """The knowledge base and common-faults reference of a valve amplifier bench.

    \b
    benchlore build                   check the entries and make the site
    benchlore find hum volume down    look something up
    benchlore draft finding --write   write down what a job taught
    benchlore COMMAND --help          a command's options, with an example
    """


def main(arguments: list[str] | None = None) -> Any:
    """Run one command and leave with its exit status."""
    try:
        status = group.main(args=arguments, prog_name="benchlore", standalone_mode=False)
        sys.stdout.flush()
    except click.ClickException as error:
        error.show()
        status = error.exit_code
    except (click.Abort, KeyboardInterrupt):
        complain("stopped; nothing was left half-done")
        status = 130
    except BrokenPipeError:  # whoever read our output has gone; that is no fault of ours
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 0
    except MachineRefused as refusal:
        complain(str(refusal))
        status = 3
    except OSError as error:
        where = f" ({error.filename})" if error.filename else ""
        complain(f"the machine refused: {error.strerror or error}{where}")
        status = 3
    raise SystemExit(status if isinstance(status, int) else 0)

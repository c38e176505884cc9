"""``benchlore completion``: the line that teaches a shell to complete commands, options and ids."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

HINTS = {
    "bash": '# put this into ~/.bashrc:  eval "$(benchlore completion bash)"',
    "zsh": '# put this into ~/.zshrc:  eval "$(benchlore completion zsh)"',
    "fish": "# save this as ~/.config/fish/completions/benchlore.fish",
}


@click.command()
@click.argument("shell", type=click.Choice(list(HINTS)))
def completion(shell: str) -> int:
    """Print what makes a shell complete commands, options and ids of entries with the Tab key.

    \b
    Example: eval "$(benchlore completion bash)"
    """
    made = get_completion_class(shell)
    assert made is not None, shell
    values = {"complete_func": "_benchlore_completion", "complete_var": "_BENCHLORE_COMPLETE", "prog_name": "benchlore"}
    click.echo(HINTS[shell])
    click.echo(made.source_template % values)
    return 0

"""`memo2list review`: the page, or the same decisions in the terminal."""

from pathlib import Path

import click

from memo2list.command_line.stores import opened, store_option
from memo2list.settings import load_settings


@click.command()
@click.argument("job")
@click.option("--no-browser", is_flag=True, help="Print the link, open nothing.")
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port to listen on; any free one by default.")
@click.option("--lan", is_flag=True, help="Open the page to phones on the local network too, with a one-time link and QR code.")
@click.option("--terminal", is_flag=True, help="A quick pass in the terminal instead.")
@store_option
def review(job: str, no_browser: bool, port: int, lan: bool, terminal: bool, store_at: Path | None) -> None:
    """Go through the list of JOB: listen, correct, sign off. Listens on this machine only, unless --lan is said."""
    with opened(store_at) as store:
        if terminal:
            from memo2list.review_page.terminal import quick_pass

            quick_pass(store, job)
            return
        from memo2list.review_page.serve import serve
        from memo2list.vocabulary.packs import own_folder

        settings = load_settings()
        serve(
            store,
            job,
            port=port,
            lan=lan,
            browser=not no_browser,
            model=settings.model,
            own_lexicon=own_folder(),
            tell=click.echo,
        )

"""Opens the page: a free port, the launch link, and the server until it is stopped."""

import getpass
import socket
import webbrowser
from collections.abc import Callable
from pathlib import Path

from memo2list.errors import InputError
from memo2list.review_page.app import make_app
from memo2list.review_page.desk import Desk
from memo2list.review_page.door import Door
from memo2list.store import Store

HERE = "127.0.0.1"


def serve(
    store: Store, job: str, *, port: int, lan: bool, browser: bool, model: str, own_lexicon: Path, tell: Callable[[str], None]
) -> None:
    """Shows the page until Ctrl+C. Raises UnknownJobError, and InputError where the port is taken."""
    name, address = store.job(job).name, lan_address() if lan else ""
    listening = bound(address and "0.0.0.0", port)
    port = listening.getsockname()[1]
    door = Door(hosts_of(port, address), port)
    desk = Desk(store, name, door, own_lexicon, f"http://{address}:{port}" if address else "", model)
    link = f"http://{HERE}:{port}/enter/{door.new_token(_own_name())}"
    tell(f"{name}: open {link}")
    if address:
        tell(invitation(desk, tell))
    tell("Ctrl+C ends it. Everything is kept as you go.")
    if browser:
        webbrowser.open(link)
    run(desk, listening)


def run(desk: Desk, listening: socket.socket) -> None:
    import uvicorn

    config = uvicorn.Config(make_app(desk), log_level="error", server_header=False, date_header=False, access_log=False)
    uvicorn.Server(config).run(sockets=[listening])


def invitation(desk: Desk, tell: Callable[[str], None]) -> str:
    """A link for one phone on the local network, with its QR code."""
    import io

    import segno

    address = f"{desk.lan_url}/enter/{desk.door.new_token()}"
    drawn = io.StringIO()
    segno.make(address, micro=False).terminal(drawn, compact=True)
    tell(drawn.getvalue())
    return f"For one phone, within a quarter of an hour: {address}\nMore phones: the page itself has links for them."


def bound(host: str, port: int) -> socket.socket:
    """A listening socket; port 0 takes any free one."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host or HERE, port))
        listening.listen(128)
    except OSError as error:
        listening.close()
        raise InputError(f"port {port}", f"cannot be used ({error.strerror}).", "Leave --port away, or choose another.") from None
    return listening


def hosts_of(port: int, address: str) -> frozenset[str]:
    """
    >>> sorted(hosts_of(8000, "192.168.0.7"))
    ['127.0.0.1:8000', '192.168.0.7:8000', 'localhost:8000']
    """
    return frozenset(f"{host}:{port}" for host in (HERE, "localhost", address) if host)


def lan_address() -> str:
    """This machine's address on the local network; nothing is sent to find it. InputError if there is none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address kept for documents (RFC 5737); a datagram socket sends nothing here
            found = str(probe.getsockname()[0])
        except OSError:
            found = ""
    if not found or found.startswith("127."):
        raise InputError("the local network", "cannot be reached from this machine.", "Join one, or leave --lan away.")
    return found


def _own_name() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "reviewer"

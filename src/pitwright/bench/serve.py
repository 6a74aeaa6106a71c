"""Start the page: find a port, tell where it is, open the browser, serve until told to stop."""

from __future__ import annotations

import contextlib
import errno
import gc
import ipaddress
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pitwright.bench.app import PORT, make_app
from pitwright.bench.guard import JSON_LIMIT
from pitwright.bench.share import CODE_LIFE, Share
from pitwright.bench.store import Store, store_folder
from pitwright.errors import OutputError

if TYPE_CHECKING:
    import uvicorn

LOOP = "127.0.0.1"
PORTS_TRIED = 20
GOODBYE = 3


def serve(
    *,
    folder: Path | None = None,
    port: int | None = None,
    browser: bool = True,
    share: str | None = None,
    tell: Callable[[str], None] = print,
) -> None:
    """Serve the page until Ctrl-C.

    folder   where the store lies; the user's own where None
    port     which port; the usual one, or the next free one after it, where None; 0 takes any free one
    browser  open the page
    share    also answer at this address of this machine, to devices that type the code; found out where empty
    tell     writes a line for the person who started it
    Raises OutputError where the store or the port cannot be had.
    """
    network = None if share is None else _shared_at(share)
    sys.setswitchinterval(0.001)  # a hand that moves waits less for a full picture that is being made
    sockets = listen(port, (LOOP,) if network is None else (LOOP, network))
    took = sockets[0].getsockname()[1]
    try:
        store = Store.open(folder or store_folder())
    except BaseException:
        for s in sockets:
            s.close()
        raise
    hosts = [f"{LOOP}:{took}", f"localhost:{took}"]
    shared = None
    if network is not None:
        hosts.append(f"{network}:{took}")
        shared = Share(addresses=(f"{network}:{took}",), cookie=f"pitwright_{took}")
    app = make_app(store, share=shared, hosts=hosts)
    server = _server(app)
    address = f"http://{LOOP}:{took}/"
    tell(f"The bench is at {address}  (jobs in {store.path.parent}; Ctrl-C stops it)")
    if shared is not None:
        code, _ = shared.code()
        tell(f"On the shop's network it is at http://{shared.addresses[0]}/")
        tell(
            f"Code for one device: {code[:4]} {code[4:]}  (good for {CODE_LIFE / 60:.0f} minutes; the bench shows the next)"
        )
        tell("The way there is not encrypted: use it only on a network you trust.")
    threading.Thread(target=_get_ready, daemon=True, name="get ready").start()
    if browser:
        threading.Timer(0.4, _open, (address,)).start()
    server.run(sockets=sockets)


def _shared_at(address: str) -> str:
    """The address of the shop's network to answer at.

    Raises OutputError for one that is none, is everybody's, or is this machine's own loop.
    """
    found = address or shop_address()
    if found is None:
        raise OutputError(
            "this machine is on no network",
            field="--share",
            remedy="Join the shop's network first, or start without --share.",
        )
    with contextlib.suppress(ValueError):
        plain = ipaddress.IPv4Address(found)
        if not (plain.is_loopback or plain.is_unspecified or plain.is_multicast):
            return found
    raise OutputError(
        "not an address of the shop's network",
        field="--share",
        value=address,
        allowed="one address of this machine, such as 192.168.1.20",
        remedy="Leave it out and it is found.",
    )


def _server(app: Any) -> uvicorn.Server:
    import uvicorn

    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        proxy_headers=False,
        server_header=False,
        date_header=False,
        lifespan="on",
        ws="auto",
        ws_max_size=JSON_LIMIT,
        ws_max_queue=64,
        ws_per_message_deflate=False,  # squeezing each picture costs more than sending it
        ws_ping_interval=20.0,
        ws_ping_timeout=20.0,
        limit_concurrency=200,
        h11_max_incomplete_event_size=32 * 1024,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=GOODBYE,
    )
    return uvicorn.Server(config)


def listen(port: int | None, addresses: tuple[str, ...]) -> list[socket.socket]:
    """Sockets on one port at every address.

    port  None: the usual one, or the next free one after it; 0: any free one
    Raises OutputError where it is taken.
    """
    tried = (port,) if port is not None else tuple(range(PORT, PORT + PORTS_TRIED))
    for candidate in tried:
        took: list[socket.socket] = []
        try:
            for address in addresses:
                took.append(_bound(address, took[0].getsockname()[1] if took else candidate))
        except OSError as problem:
            for s in took:
                s.close()
            if problem.errno == errno.EADDRNOTAVAIL:
                raise OutputError(
                    "this machine has no such address",
                    field="--share",
                    value=address,
                    remedy="Leave it out and it is found.",
                ) from problem
            continue
        return took
    raise OutputError(
        "this port is taken" if port is not None else "no port is free",
        field="--port",
        remedy="Give another with --port, or stop what holds it.",
    )


def _bound(address: str, port: int) -> socket.socket:
    s = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":
            s.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        s.bind((address, port))
        s.listen(100)
    except BaseException:
        s.close()
        raise
    return s


def shop_address() -> str | None:
    """This machine's own address on the shop's network; None where it is on none.

    Nothing is sent: the system only says which address it would send from.
    """
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as s:
        s.connect(("192.0.2.1", 9))  # an address kept for documents (RFC 5737): reaches nobody
        found = str(s.getsockname()[0])
        if not ipaddress.ip_address(found).is_loopback and found != "0.0.0.0":
            return found
    with contextlib.suppress(OSError):
        for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
            found = str(info[4][0])
            if not ipaddress.ip_address(found).is_loopback:
                return found
    return None


def _get_ready() -> None:
    """Load what a picture needs and make one, so that the first person does not wait for it."""
    from pitwright.bench.documents import new_document
    from pitwright.bench.state import Desk

    facts = {"name": "any", "around": "94 1/2", "wall": "1/4", "length": "84", "grate_height": "37"}
    with contextlib.suppress(Exception):
        document = new_document(facts)
        Desk(document, {}).show(document, views=("side",), full=True)
    gc.collect()
    gc.freeze()  # what is loaded stays: looking through it again for rubbish made single steps of a drag wait 60 ms


def _open(address: str) -> None:
    with contextlib.suppress(Exception):
        webbrowser.open(address)

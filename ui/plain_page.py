"""Pages that stand outside the app: no script, nothing fetched."""

from __future__ import annotations

from ui import words

_STYLE = (
    "body{margin:0;background:#f7f7f7;color:#1b1b1b;font:1.06rem/1.5 system-ui,'Segoe UI',Roboto,sans-serif}"
    "main{max-width:24rem;margin:14vh auto 0;padding:0 1.2rem}"
    "h1{font:400 2rem/1.15 Georgia,'Times New Roman','Liberation Serif',serif;margin:0 0 1.4rem}"
    "p.mark{font:1.3rem Georgia,'Liberation Serif',serif;margin:0 0 2rem}"
    "label{display:block;margin:0 0 1.1rem}"
    "input{display:block;width:100%;box-sizing:border-box;font:inherit;padding:.6rem .7rem;margin-top:.25rem;"
    "border:1px solid #767676;border-radius:3px;background:#fff;color:inherit}"
    "button{font:inherit;min-height:2.9rem;padding:0 1.4rem;border:0;border-radius:3px;background:#1b1b1b;color:#fff;"
    "cursor:pointer}"
    ":focus-visible{outline:3px solid #1b1b1b;outline-offset:2px}"
    "p.wrong{border-left:4px solid #1b1b1b;padding:.1rem 0 .1rem 1rem}"
)


def plain_page(title: str, body: str) -> str:
    """Return a page with a title and, below it, ``body`` (HTML)."""
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title} · {words.NAME}</title><style>{_STYLE}</style></head><body><main>"
        f'<p class="mark">{words.NAME}</p><h1>{title}</h1>{body}</main></body></html>'
    )

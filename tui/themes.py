"""Our own looks: a dark and a light one, a high-contrast one, and one that uses no colour at all.

Words are never told by colour alone, so every look shows the same facts. With ``NO_COLOR`` set the plain look
is taken: it leaves fore- and background to the terminal, and marks the line one stands on by reversing it.
"""

from __future__ import annotations

from textual.theme import BUILTIN_THEMES, Theme

DARK = Theme(
    name="reelturn-dark",
    primary="#d9a441",
    secondary="#8fb8c9",
    warning="#e8b45a",
    error="#f08a7a",
    success="#9cc48a",
    accent="#d9a441",
    foreground="#ece6da",
    background="#171512",
    surface="#171512",
    panel="#26221c",
    dark=True,
    variables={"dim-text": "#a79f90", "line-cursor": "#473a20", "line-cursor-text": "#fff6e0"},
)
LIGHT = Theme(
    name="reelturn-light",
    primary="#7a4b00",
    secondary="#1f5566",
    warning="#7a4b00",
    error="#9b1c1c",
    success="#2c5e1a",
    accent="#7a4b00",
    foreground="#221e18",
    background="#faf6ec",
    surface="#faf6ec",
    panel="#ece5d4",
    dark=False,
    variables={"dim-text": "#5f584b", "line-cursor": "#f0dcae", "line-cursor-text": "#221e18"},
)
CONTRAST = Theme(
    name="reelturn-contrast",
    primary="#ffff00",
    secondary="#00ffff",
    warning="#ffff00",
    error="#ff9a9a",
    success="#80ff80",
    accent="#ffff00",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    dark=True,
    text_alpha=1.0,
    variables={"dim-text": "#d8d8d8", "line-cursor": "#ffffff", "line-cursor-text": "#000000"},
)
NO_COLOUR = Theme(
    **{
        **{
            name: getattr(BUILTIN_THEMES["ansi-dark"], name)
            for name in (
                "primary",
                "secondary",
                "warning",
                "error",
                "success",
                "accent",
                "foreground",
                "background",
                "surface",
                "panel",
                "boost",
                "luminosity_spread",
                "text_alpha",
                "ansi",
                "dark",
            )
        },
        "name": "reelturn-no-colour",
        "variables": {
            **BUILTIN_THEMES["ansi-dark"].variables,
            "dim-text": "ansi_default",
            "line-cursor": "ansi_default",
            "line-cursor-text": "ansi_default",
        },
    }
)

THEMES = (DARK, LIGHT, CONTRAST, NO_COLOUR)
#: What each look is called where one chooses it.
NAMES = {
    DARK.name: "dark",
    LIGHT.name: "light",
    CONTRAST.name: "high contrast",
    NO_COLOUR.name: "no colour",
}

"""Heat in the unit that the owner reads: what a thermometer shows, typed and written."""

from core.quantities import read_quantity
from core.shelf import Shelf
from core.tape.treatments import celsius, fahrenheit
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Degrees:
    """Degrees Celsius, or Fahrenheit where that was chosen; °C is what is kept in either case."""

    fahrenheit: bool = False

    @property
    def sign(self) -> str:
        """``°C`` or ``°F``."""
        return "°F" if self.fahrenheit else "°C"

    def text(self, warm_c: float) -> str:
        """A temperature in words: ``54 °C``, ``129.2 °F``."""
        shown = fahrenheit(warm_c) if self.fahrenheit else warm_c
        return f"{round(shown, 1):g} {self.sign}"

    def apart(self, apart_c: float) -> str:
        """A difference in words: ``4.5 °C``, ``8.1 °F``."""
        return f"{apart_c * 9 / 5 if self.fahrenheit else apart_c:.1f} {self.sign}"

    def both(self, warm_c: float) -> str:
        """A temperature in the chosen unit, with the other one behind it."""
        return f"{self.text(warm_c)} ({Degrees(not self.fahrenheit).text(warm_c)})"

    def read(self, typed: str) -> float:
        """°C of what was typed: a bare number is in the chosen unit; ValueError says what would be right."""
        bare = typed.strip().replace("−", "-")
        try:
            number = float(bare.replace(",", "."))
        except ValueError:
            return float(read_quantity(bare, "temperature").number)
        return celsius(number) if self.fahrenheit else number


def degrees_of(shelf: Shelf) -> Degrees:
    """The unit that the owner chose for heat; Celsius where nothing was chosen."""
    return Degrees(shelf.chosen.units.get("temperature") == "degF")

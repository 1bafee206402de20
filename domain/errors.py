"""What the trade refuses."""


class TradeError(ValueError):
    """A figure that cannot be worked with; the text is a sentence for the page, and `field` names its box."""

    def __init__(self, sentence: str, field: str = "") -> None:
        super().__init__(sentence)
        self.field = field

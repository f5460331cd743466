"""How a number is written for a person: so many significant figures, no exponent, no trailing zeros."""


def three(value: float) -> str:
    """Three significant figures; what a supply can be set to.

    >>> three(2.9163), three(12345.0), three(0.00123), three(0.0)
    ('2.92', '12300', '0.00123', '0')
    """
    return rounded(value, 3)


def five(value: float) -> str:
    """Five significant figures, for areas and lengths.

    >>> five(0.000123456), five(1234567.0), five(12.5)
    ('0.00012346', '1234600', '12.5')
    """
    return rounded(value, 5)


def rounded(value: float, figures: int) -> str:
    rounded = float(f"{value:.{figures}g}")
    if abs(rounded) >= 1e15:
        return f"{rounded:g}"
    text = f"{rounded:.10f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


def counted(number: float, noun: str) -> str:
    """A number of things, singular or plural.

    >>> counted(1, "part"), counted(3, "part"), counted(2, "box"), counted(2.5, "degree")
    ('1 part', '3 parts', '2 boxes', '2.5 degrees')
    >>> counted(2, "body")
    '2 bodies'
    """
    if number == 1:
        return f"1 {noun}"
    told = f"{number:g}" if isinstance(number, float) else number
    if noun.endswith("y") and noun[-2] not in "aeiou":
        return f"{told} {noun[:-1]}ies"
    return f"{told} {noun}{'es' if noun[-1] in 'sxz' else 's'}"

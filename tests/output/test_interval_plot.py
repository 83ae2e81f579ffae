"""The plain plot beside take: dots and bars where the numbers say."""

from hypothesis import given
from hypothesis import strategies as st

from graftbook.output.interval_plot import SCALE, Bar, plot_text


def test_a_bar_stands_where_its_numbers_are():
    text = plot_text([Bar("apple", "15 of 20", 0.75, 0.5, 1.0)], 80, unicode=False)
    line = text.splitlines()[1].removeprefix("apple  ")
    assert [20, 30, 40] == [line.index("|"), line.index("o"), line.index("|", 21)]


def test_nothing_decided_has_a_name_and_no_dot():
    text = plot_text([Bar("apple", "none yet", None, None, None)], 80, unicode=False)
    assert "apple" in text
    assert "o" not in text.splitlines()[1].removeprefix("apple").removesuffix("none yet")


def test_no_rows_give_no_plot():
    assert "" == plot_text([])


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1), st.text("ab ·", max_size=70))
def test_the_plot_fits_the_width(first, second, third, label):
    low, rate, high = sorted((first, second, third))
    for line in plot_text([Bar(label, "100 of 100", rate, low, high)], 80).splitlines():
        assert len(line) <= 80
    assert SCALE < 80

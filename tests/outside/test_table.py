"""The table of all checks: built from the lists that the tests assert, and nothing else."""


from tests.outside.__main__ import rows, sources, table


def test_every_source_has_a_name_and_checks_of_its_own():
    assert len({module.SOURCE for module in sources()}) == len(sources())
    for module in sources():
        assert module.CHECKS
        assert module.test_against_the_source  # a list that nobody asserts would only look good
        assert len(set(map(str, module.CHECKS))) == len(module.CHECKS)


def test_the_table_holds_every_check_and_every_source():
    text = table()
    assert len(list(rows())) == sum(len(module.CHECKS) for module in sources())
    assert all(f"| {check.what} |" in text for module in sources() for check in module.CHECKS)
    assert all(module.SOURCE in " ".join(text.split()) for module in sources())
    assert "differs" not in text


def test_a_band_is_called_one():
    """Whatever is allowed more than one per cent of the value is a band, and is printed as one."""
    for module in sources():
        for check in module.CHECKS:
            wide = check.is_number() and check.within > 0.01 * abs(check.published) + 1e-5
            assert not wide or check.band, check.what
    marked = [line[-1] for line in rows() if line[-1].startswith("band of")]
    assert len(marked) == sum(check.band for module in sources() for check in module.CHECKS) > 0

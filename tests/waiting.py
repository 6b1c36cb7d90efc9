"""Waiting for what a test is about, however busy the machine is."""

LONG_MS = 120_000  # nothing takes so long: a test that gets here has found a fault
LOOK_MS = 50


def until(page, seen):
    """Look again and again, while the page goes on, until there is something; that is given."""
    for _ in range(LONG_MS // LOOK_MS):
        if found := seen():
            return found
        page.wait_for_timeout(LOOK_MS)
    raise AssertionError("what was waited for never came")


def resting(page, look):
    """Look until two looks, some frames apart, are the same."""
    was = look()

    def still():
        nonlocal was
        page.wait_for_timeout(5 * LOOK_MS)
        before, was = was, look()
        return before == was

    until(page, still)

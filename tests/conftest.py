"""How the property tests draw their examples, for all rooms."""

from hypothesis import HealthCheck, settings

# Everyone draws the same examples, so that nothing fails by chance where nothing was changed. Looking for new
# failures is a thing of its own: ./check tests -- --hypothesis-profile=search
# None is held to a clock: a busy machine makes nothing untrue, and times are for the benchmarks.
untimed = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("steady", untimed, derandomize=True)
settings.register_profile("search", untimed, derandomize=False)
settings.load_profile("steady")

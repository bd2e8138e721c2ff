"""How the property tests draw their examples, for all rooms."""

from hypothesis import settings

# Everyone draws the same examples, so that nothing fails by chance where nothing was changed. Looking for new
# failures is a thing of its own: ./check tests -- --hypothesis-profile=search
settings.register_profile("steady", derandomize=True)
settings.register_profile("search", derandomize=False)
settings.load_profile("steady")

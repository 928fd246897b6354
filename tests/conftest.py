"""Settings shared by all tests."""

import os

from hypothesis import HealthCheck, Phase, settings

# Searches take as long as they take, and a busy machine is no fault of the plan. A failing evening takes minutes to
# shrink: HYPOTHESIS_PROFILE=shrink does it for whoever looks for the fault.
settings.register_profile(
    "kitchen",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
settings.register_profile(
    "shrink", settings.get_profile("kitchen"), phases=[Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink]
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "kitchen"))

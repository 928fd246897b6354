"""Settings shared by all tests."""

import os

from hypothesis import HealthCheck, Phase, settings

# The same evenings each time, so that a failure is the change's that caused it; HYPOTHESIS_PROFILE=hunt looks for new
# ones, and what it finds becomes a test by hand. Searches take as long as they take: a busy machine is no fault of the
# plan. A failing evening takes minutes to shrink: HYPOTHESIS_PROFILE=shrink does it for whoever looks for the fault.
settings.register_profile(
    "kitchen",
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
settings.register_profile("hunt", settings.get_profile("kitchen"), derandomize=False, print_blob=True)
settings.register_profile(
    "shrink", settings.get_profile("hunt"), phases=[Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink]
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "kitchen"))

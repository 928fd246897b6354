"""Settings shared by all tests."""

from hypothesis import HealthCheck, settings

# Searches take as long as they take, and a busy machine is no fault of the plan.
settings.register_profile(
    "kitchen", deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
settings.load_profile("kitchen")

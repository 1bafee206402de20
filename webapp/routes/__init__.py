"""The handlers, thin: form, service or query, template."""

from webapp.routes import axles, bench, builds, castings, measurements, ticks

routers = (
    bench.router,
    builds.router,
    axles.router,
    castings.router,
    ticks.router,
    measurements.router,
)

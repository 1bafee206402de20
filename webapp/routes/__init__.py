"""The handlers, thin: form, service or query, template."""

from webapp.routes import axles, bench, builds, castings, figures, fits, joints, measurements, ticks, workshop

routers = (
    bench.router,
    builds.router,
    axles.router,
    castings.router,
    ticks.router,
    measurements.router,
    workshop.router,
    joints.router,
    fits.router,
    figures.router,
)

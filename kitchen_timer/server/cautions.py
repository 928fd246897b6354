"""The cautions of this trade that every front page shows. The chef, the house's own plan and the law come first."""

CAUTIONS = (
    "The chef always overrides. A time on a screen never proves that food is done or safe: look, touch, probe.",
    "Follow your own food-safety plan and local code; this planner is not one. How long food stays good here is a "
    "matter of quality, never a safety limit.",
    "Core temperatures: read them with a calibrated probe and write them down where your plan says.",
    "Allergies: read every one back aloud, use clean kit, and let the chef send the plate. A shared fryer carries "
    "allergens. That none is listed does not make a dish safe. After a mistake throw it away and cook again.",
    "Hot oil: dry food, no overload, never unattended, never carried because a cue said so.",
    "Torches: clear of oil, cloths and gas; shut the cylinder afterwards.",
    "Hot holding, cooling and vacuum-packed food cooked at low temperature need validated times and trained people.",
    "No cue is a reason to run, or to rush with a knife.",
)

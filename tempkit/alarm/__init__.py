"""When an alarm acts: limits, deadband, delays; how often it calls, how late; readings that cannot be true."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "delays": "alarm_delay DelayBudget",
        "events": "chattering Events",
        "every_case": "audit Branch cases number_line table",
        "rates": "alarm_odds alarm_risk deadband_alarm delayed_alarm detection_samples",
        "rule": "Alarm Run Stepper",
        "tripping": "trip_codes trip_ranges TripCodes",
        "validity": "Rules",
    },
)

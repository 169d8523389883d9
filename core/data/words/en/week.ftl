### The plan: programme, notices, reasons, adaptation, a session re-planned.

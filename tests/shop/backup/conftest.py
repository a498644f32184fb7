from tests.shop.backup.shops import at_work, empty, made, restored

__all__ = ["at_work", "empty", "made", "restored"]

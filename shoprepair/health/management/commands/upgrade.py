import compileall
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from shoprepair import checks


class Command(BaseCommand):
    help = "After the program was renewed: back the shop up, bring its tables up to date, gather its files."
    requires_system_checks: list[str] = []

    def handle(self, *_args: Any, **_options: Any) -> None:
        waiting = self._waiting()
        self._back_up()
        self._migrate(waiting)
        call_command("collectstatic", interactive=False, verbosity=0)
        self.stdout.write("Files of the pages: gathered.")
        self._compile()
        self._check()
        self.stdout.write("Done. Start the server anew, so that it runs what is new.")

    def _waiting(self) -> list[str]:
        """The steps that the tables have not taken yet."""
        executor = MigrationExecutor(connection)
        plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
        return [f"{step.app_label} {step.name}" for step, _ in plan]

    def _back_up(self) -> None:
        """Whatever goes wrong later, the shop as it was comes back with `manage.py restore`."""
        if not connection.introspection.table_names():
            self.stdout.write("Backup: there is no shop yet.")
            return
        try:
            call_command("back_up", stdout=self.stdout)
        except (CommandError, SystemExit, OSError) as failed:
            raise CommandError(f"The backup failed, so nothing was changed: {failed}") from failed

    def _migrate(self, waiting: list[str]) -> None:
        if not waiting:
            self.stdout.write("Tables: up to date.")
            return
        try:
            call_command("migrate", interactive=False, verbosity=0)
        except Exception as failed:
            raise CommandError(
                f"A step of the tables failed ({type(failed).__name__}); those before it stand. Call upgrade "
                "again, or go back: the program as it was, and “manage.py restore” of this backup."
            ) from failed
        self.stdout.write(f"Tables: {len(waiting)} steps taken, the last {waiting[-1]}.")

    def _compile(self) -> None:
        """The server may not write beside the program, and would compile it anew at each of its starts."""
        if compileall.compile_dir(Path(settings.BASE_DIR) / "shoprepair", quiet=2):
            self.stdout.write("Program: compiled.")
        else:
            self.stdout.write("Program: not compiled, so that each start of the server takes longer.")

    def _check(self) -> None:
        for words in checks.warnings():
            self.stderr.write(words)
        if wrong := checks.errors():
            raise CommandError("\n".join(["The shop will not be served until this is put right:", *wrong]))
        self.stdout.write("Settings: as they should be.")

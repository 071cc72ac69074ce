"""Jobs and the shop made and changed in forms: the same checks and the same way in as their files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crewjobs.services.office.base import OfficeBase, followed

if TYPE_CHECKING:
    from crewjobs.services.forms.checking import Checked
    from crewjobs.services.forms.draft import Draft
    from crewjobs.services.rows import Done


class Drafting(OfficeBase):
    """Forms of jobs and of the shop."""

    def new_job(self) -> Draft:
        """Return the form of a new job."""
        from crewjobs.services.forms import making

        return making.new_job(self._zone(), self.units())

    def job_draft(self, number: int) -> Draft:
        """Return the form of a job as it is."""
        from crewjobs.services.forms import making

        with self._database.reading() as uow:
            return making.job_draft(uow, number)

    def check_draft(self, draft: Draft) -> Checked:
        """Return what is wrong in a job's form; nothing is stored."""
        from crewjobs.services.forms import cards, checking

        with self._database.reading() as uow:
            held = cards.held(uow.shop())
            layouts = uow.job(draft.number).layouts if draft.number else ()
        return checking.check_job(draft, self.now().date(), held, layouts)

    def missing_cards(self, number: int) -> tuple[str, ...]:
        """Return the cards that a job's open work needs and that no crew has which could do it."""
        from crewjobs.services.forms import cards

        with self._database.reading() as uow:
            return cards.missing(uow.job(number), uow.shop())

    def people_short(self, number: int) -> int:
        """Return how many people a job's open work needs together where no crew has so many; 0 where one has."""
        from crewjobs.services.forms import hands

        with self._database.reading() as uow:
            return hands.people_short(uow.job(number), uow.shop())

    def toilet_to_agree(self, number: int) -> bool:
        """Return whether a job gets no day before it is said what is used while the only toilet is out."""
        from crewjobs.services.weeks.toilets import to_be_agreed

        with self._database.reading() as uow:
            return to_be_agreed(uow.job(number))

    @followed
    def keep_draft(self, draft: Draft) -> Done:
        """Store a form's job; a new one's number is then the draft's."""
        from crewjobs.services.forms import making

        with self._writing() as uow:
            return making.keep(uow, self._clock.now(), draft)

    def shop_draft(self) -> Draft:
        """Return the form of the shop as it is."""
        from crewjobs.services.forms import making

        with self._database.reading() as uow:
            return making.shop_draft(uow, self._clock.now())

    def check_shop(self, draft: Draft) -> Checked:
        """Return what is wrong in the shop's form; nothing is stored."""
        from crewjobs.services.forms import checking

        return checking.check_shop(draft, self.now().date())

    @followed
    def keep_shop(self, draft: Draft) -> Done:
        """Store the shop's form."""
        from crewjobs.services.forms import making

        with self._writing() as uow:
            return making.keep_shop(uow, self._clock.now(), draft)

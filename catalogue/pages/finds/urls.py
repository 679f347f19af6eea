"""Everything under /finds/; the fixed words come before the numbers of finds."""

from django.urls import URLPattern, URLResolver, path

from .bulk import many as typed
from .bulk import views as shelf
from .detail import acts, seen, telling
from .detail import restoring as past
from .detail import views as detail
from .form import views as form
from .list import saved_views
from .list import views as list_views
from .many import views as many
from .plates import images, lay, measure, read_views, steps
from .story import views as story
from .unfinished import views as unfinished

app_name = "finds"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", list_views.finds, name="finds"),
    path("views/", saved_views.saved_views, name="saved_views"),
    path("views/<whole:pk>/", saved_views.open_view, name="saved_view"),
    path("views/<whole:pk>/rename/", saved_views.rename_view, name="saved_view_rename"),
    path("views/<whole:pk>/bin/", saved_views.put_view_away, name="saved_view_bin"),
    path("views/<whole:pk>/put-back/", saved_views.take_view_out, name="saved_view_put_back"),
    path("new/", form.new_find, name="find_new"),
    path("dating/", form.date_so_far, name="find_dating"),
    path("questions/", form.questions, name="find_questions"),
    path("suggest/<slug:kind>/", form.suggestions, name="find_suggest"),
    path("<number:number>/edit/", form.edit_find, name="find_edit"),
    path("typed/", typed.many, name="find_many"),
    path("many/", many.choose, name="many"),
    path("many/<whole:pk>/", many.act, name="many_act"),
    path("many/<whole:pk>/undo/", many.undo_many, name="many_undo"),
    path("many/<whole:pk>/progress/", many.progress, name="many_progress"),
    path("shelf/", shelf.shelf_sessions, name="shelf_sessions"),
    path("shelf/<whole:pk>/", shelf.shelf_session, name="shelf_session"),
    path("shelf/<whole:pk>/bin/", shelf.shelf_bin, name="shelf_bin"),
    path("shelf/<whole:pk>/put-back/", shelf.shelf_put_back, name="shelf_put_back"),
    path("next/", unfinished.next_find, name="next"),
    path("<number:number>/", detail.find_page, name="find"),
    path("<number:number>/move/", acts.move, name="find_move"),
    path("<number:number>/move/<whole:pk>/undo/", acts.undo_move, name="find_move_undo"),
    path("<number:number>/seen/", seen.seen, name="find_seen"),
    path("<number:number>/seen/<whole:pk>/undo/", seen.undo_seen, name="find_seen_undo"),
    path("<number:number>/beside/", seen.beside, name="find_beside"),
    path("<number:number>/beside/<whole:pk>/<slug:sides>/undo/", seen.undo_beside, name="find_beside_undo"),
    path("<number:number>/share/", acts.share, name="find_share"),
    path("<number:number>/tell/", telling.tell, name="find_tell"),
    path("<number:number>/tell/withdraw/", telling.hold_back, name="find_hold_back"),
    path("<number:number>/opinion/", acts.opinion, name="find_opinion"),
    path("<number:number>/opinion/<whole:pk>/withdraw/", acts.withdraw, name="find_opinion_withdraw"),
    path("<number:number>/opinion/<whole:pk>/hold/", acts.hold_again, name="find_opinion_hold"),
    path(
        "<number:number>/opinion/<whole:pk>/undo/<whole:before>/", acts.undo_opinion, name="find_opinion_undo"
    ),
    path("<number:number>/match/", acts.match, name="find_match"),
    path("<number:number>/unmatch/", acts.unmatch, name="find_unmatch"),
    path("<number:number>/part/", acts.add_part, name="find_part"),
    path("<number:number>/bin/", acts.put_in_bin, name="find_bin"),
    path("<number:number>/put-back/", acts.take_out_of_bin, name="find_put_back"),
    path("<number:number>/changes/", past.changes, name="find_changes"),
    path("<number:number>/changes/<whole:stamp>/", past.go_back, name="find_go_back"),
    path("<number:number>/story/", story.keep_story, name="find_story"),
    path("<number:number>/plates/", steps.shoot, name="plates"),
    path("<number:number>/plates/rim/", steps.rim, name="plates_rim"),
    path("<number:number>/plates/ring/", steps.ring, name="plates_ring"),
    path("<number:number>/plates/read/", read_views.read, name="plates_read"),
    path("<number:number>/plates/compare/", read_views.compare, name="plates_compare"),
    path("<number:number>/plates/save/", read_views.save, name="plates_save"),
    path("<number:number>/plates/round.jpg", images.show_plate, {"shape": "round"}, name="plate_round"),
    path("<number:number>/plates/strip.jpg", images.show_plate, {"shape": "strip"}, name="plate_strip"),
    path("<number:number>/plates/relief.png", images.show_relief, name="plate_relief"),
    path("<number:number>/lay/", lay.lay, name="lay"),
    path("<number:number>/lay/before.jpg", lay.show_laid, name="laid"),
    path("<number:number>/measure/", measure.measure, name="measure"),
    path("<number:number>/measure/write/", measure.write, name="measure_write"),
]

from django.urls import path

from . import acts, past, slips, views

urlpatterns = [
    path("f/<number:number>", views.short, name="short"),
    path("finds/<number:number>/", views.find_page, name="find"),
    path("finds/<number:number>/move/", acts.move, name="find_move"),
    path("finds/<number:number>/share/", acts.share, name="find_share"),
    path("finds/<number:number>/opinion/", acts.opinion, name="find_opinion"),
    path("finds/<number:number>/opinion/<int:pk>/withdraw/", acts.withdraw, name="find_opinion_withdraw"),
    path("finds/<number:number>/match/", acts.match, name="find_match"),
    path("finds/<number:number>/unmatch/", acts.unmatch, name="find_unmatch"),
    path("finds/<number:number>/part/", acts.add_part, name="find_part"),
    path("finds/<number:number>/bin/", acts.put_in_bin, name="find_bin"),
    path("finds/<number:number>/put-back/", acts.take_out_of_bin, name="find_put_back"),
    path("finds/<number:number>/changes/", past.changes, name="find_changes"),
    path("finds/<number:number>/changes/<int:stamp>/", past.go_back, name="find_go_back"),
    path("labels/slip/<number:number>/", slips.slip_pdf, name="slip"),
]

from django.urls import path

from . import views

urlpatterns = [
    path("dives/<int:year>/<int:ordinal>/card/", views.card, name="card"),
    path("dives/<int:year>/<int:ordinal>/card/arrive/", views.arrive, name="card_arrive"),
]

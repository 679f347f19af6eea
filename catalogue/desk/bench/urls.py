from django.urls import path

from . import views

urlpatterns = [
    path("workbench/baths/<int:pk>/sheet.pdf", views.bath_sheet, name="bath_sheet"),
    path("workbench/<number:number>/record/", views.record, name="treatment_record"),
    path("workbench/<number:number>/record.pdf", views.record_pdf, name="treatment_record_pdf"),
]

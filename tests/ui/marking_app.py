"""A page with nothing but the marking tool on a sample photo; what it stores outlives a reload."""

from __future__ import annotations

import os

import streamlit as st
from starlette.responses import FileResponse
from starlette.routing import Route

app = st.App(
    "marking_page.py",
    routes=[Route("/test-photo.jpg", lambda request: FileResponse(os.environ["MARKING_PHOTO"]))],
)

#!/usr/bin/python3
"""A window with WebKit in it that keeps its data, driven by WebKitWebDriver; its own test shell forgets everything."""

import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gtk, WebKit2  # noqa: E402

# What the system's setting says of light and dark.
Gtk.Settings.get_default().set_property("gtk-application-prefer-dark-theme", sys.argv[2] == "--dark")
profile = sys.argv[1].removeprefix("--profile=")
context = WebKit2.WebContext(
    website_data_manager=WebKit2.WebsiteDataManager(
        base_data_directory=f"{profile}/data", base_cache_directory=f"{profile}/cache"
    )
)


def started(_context, session):
    """Names this host to the driver, and gives each session a window."""
    info = WebKit2.ApplicationInfo()
    info.set_name("host")
    info.set_version(1, 0, 0)
    session.set_application_info(info)
    session.connect("create-web-view", window)


def window(_session):
    """Opens a window of a phone's size."""
    view = WebKit2.WebView(web_context=context, is_controlled_by_automation=True)
    settings = view.get_settings()
    # A camera and a microphone that the engine makes up, allowed without asking.
    settings.set_enable_media_stream(True)
    settings.set_enable_mock_capture_devices(True)
    view.connect("permission-request", lambda _view, request: request.allow() or True)
    frame = Gtk.Window()
    frame.set_default_size(390, 844)
    frame.add(view)
    view.connect("close", lambda _view: frame.destroy())
    frame.show_all()
    return view


context.set_automation_allowed(True)
context.connect("automation-started", started)
Gtk.main()

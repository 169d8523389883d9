package plinth.app

import android.Manifest
import android.app.Activity
import android.content.ActivityNotFoundException
import android.content.Context
import android.content.Intent
import android.content.pm.PackageManager
import android.content.res.Configuration
import android.media.session.MediaSession
import android.media.session.PlaybackState
import android.net.Uri
import android.os.Build
import android.os.Bundle
import android.provider.Settings
import android.view.KeyEvent
import android.view.View
import android.view.WindowInsets
import android.view.WindowManager
import android.widget.FrameLayout
import kotlinx.coroutines.CoroutineScope
import kotlinx.coroutines.Dispatchers
import kotlinx.coroutines.SupervisorJob
import kotlinx.coroutines.cancel
import kotlinx.coroutines.flow.merge
import kotlinx.coroutines.launch
import plinth.app.floor.Notice
import plinth.app.look.Touch
import plinth.app.phone.FileWindow
import plinth.core.Block
import plinth.core.Deed
import plinth.core.Effect
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.PageEvent
import plinth.core.Screen

/** The one window. It shows what the house says, and does what only a window can. */
internal class MainActivity : Activity() {
    private val app get() = application as PlinthApp
    private val house get() = app.house
    private val scope = CoroutineScope(SupervisorJob() + Dispatchers.Main.immediate)
    private var wall: Wall? = null
    private var session: MediaSession? = null
    private var said: Notice? = null
    private val files by lazy { FileWindow(this, app.files, app.phone, ::send) }

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        edgeToEdge()
        hang()
        scope.launch { house.shown.collect { show() } }
        scope.launch { house.awake.collect { wall?.view?.keepScreenOn = it } }
        scope.launch { app.syncing.told.collect { show() } }
        scope.launch { house.windowEffects.collect(::perform) }
        scope.launch { merge(app.files.told, app.files.asked, app.files.copies.copies).collect { show() } }
        if (state == null) files.meet(intent)
    }

    override fun onNewIntent(intent: Intent) {
        super.onNewIntent(intent)
        files.meet(intent)
    }

    @Deprecated("The platform calls it where no newer way is registered.")
    override fun onActivityResult(
        request: Int,
        result: Int,
        data: Intent?,
    ) {
        files.picked(request, result, data)
    }

    /** Sends what was touched; what was told of a file before is over then. */
    private fun send(event: Event) {
        if (event != Event.Floor(FloorEvent.Tick)) app.files.forget()
        house.send(event)
    }

    /** Builds what stands in the window, in the lifter's language and for the shape that it has. */
    private fun hang() {
        val speaking = app.phone.speaking(this)
        val new = Wall(speaking, app.phone.moments, mirrored(), app.files, ::send) { house.open() }
        wall = new
        val frame = FrameLayout(this)
        frame.setBackgroundColor(getColor(R.color.ground))
        frame.addView(new.view, FrameLayout.LayoutParams(FrameLayout.LayoutParams.MATCH_PARENT, FrameLayout.LayoutParams.MATCH_PARENT))
        frame.setOnApplyWindowInsetsListener { view, insets ->
            inset(view, insets)
            insets
        }
        setContentView(frame)
        new.view.keepScreenOn = house.awake.value
        show()
    }

    /** Which hand touches, as the screen says; the right one until there is a screen. */
    private fun mirrored(): Boolean =
        when (val screen = (house.shown.value as? Shown.Here)?.screen) {
            is Screen.Floor -> screen.v1.mirrored
            is Screen.Page -> screen.v1.mirrored
            null -> wall?.mirrored ?: false
        }

    private fun show() {
        val wall = wall ?: return
        if (wall.language != (app.phone.language ?: app.phone.platformLanguage()) || wall.mirrored != mirrored()) {
            hang()
            return
        }
        val shown = house.shown.value
        wall.show(shown, notices(), app.files.asked.value)
        val open = shown is Shown.Here && House.sessionOpen(shown.screen)
        listen(open)
        if (open) askForNotices()
    }

    override fun onConfigurationChanged(new: Configuration) {
        super.onConfigurationChanged(new)
        hang()
    }

    override fun onStart() {
        super.onStart()
        house.inFront = true
        house.tick()
        app.files.copyWhereDue()
        show()
    }

    override fun onStop() {
        house.leave()
        super.onStop()
    }

    override fun onDestroy() {
        scope.cancel()
        session?.release()
        super.onDestroy()
    }

    @Deprecated("The platform calls it where no newer way is registered.")
    override fun onBackPressed() {
        val wall = wall ?: return super.onBackPressed()
        val screen = (house.shown.value as? Shown.Here)?.screen
        val page = (screen as? Screen.Page)?.v1
        when {
            // What waits for the end of a session is not asked yet.
            app.files.asked.value != null && screen != null && !House.sessionOpen(screen) -> app.files.leave()

            wall.closeContents() -> Unit

            page?.back != null -> house.send(Event.Page(PageEvent.Back))

            else -> super.onBackPressed()
        }
    }

    // What the platform must be told or asked

    private fun edgeToEdge() {
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.R) {
            window.setDecorFitsSystemWindows(false)
        } else {
            @Suppress("DEPRECATION")
            window.decorView.systemUiVisibility =
                window.decorView.systemUiVisibility or View.SYSTEM_UI_FLAG_LAYOUT_STABLE or
                View.SYSTEM_UI_FLAG_LAYOUT_FULLSCREEN or View.SYSTEM_UI_FLAG_LAYOUT_HIDE_NAVIGATION
        }
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.P) {
            window.attributes =
                window.attributes.apply {
                    layoutInDisplayCutoutMode = WindowManager.LayoutParams.LAYOUT_IN_DISPLAY_CUTOUT_MODE_SHORT_EDGES
                }
        }
    }

    /** Keeps what is shown clear of bars, cut-outs and the keyboard. */
    private fun inset(
        view: View,
        insets: WindowInsets,
    ) {
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.R) {
            val types = WindowInsets.Type.systemBars() or WindowInsets.Type.displayCutout() or WindowInsets.Type.ime()
            insets.getInsets(types).let { view.setPadding(it.left, it.top, it.right, it.bottom) }
        } else {
            @Suppress("DEPRECATION")
            view.setPadding(
                insets.systemWindowInsetLeft,
                insets.systemWindowInsetTop,
                insets.systemWindowInsetRight,
                insets.systemWindowInsetBottom,
            )
        }
    }

    /** What the platform does not let the app do, said before a session and not over its clock. */
    private fun notices(): List<Notice> {
        val words = app.phone.speaking(this)
        val screen = (house.shown.value as? Shown.Here)?.screen
        val all = (listOfNotNull(said) + screen?.let(files::notices).orEmpty()).toMutableList()
        if (screen is Screen.Page && screen.v1.blocks.any(::concernsServer)) {
            app.syncing.told.value
                ?.let { all += Notice(it) }
        }
        if (screen !is Screen.Floor) return all
        house.opening?.takeIf { it.damagedAside != null }?.let {
            all += Notice(words.resources.getQuantityString(R.plurals.recovered, it.lost.toInt(), it.lost.toInt()))
        }
        if (!app.phone.alarm.exact && Build.VERSION.SDK_INT >= Build.VERSION_CODES.S) {
            all +=
                Notice(
                    words.getString(R.string.inexact),
                    listOf(
                        Touch(words.getString(R.string.allow_exact)) {
                            open(Intent(Settings.ACTION_REQUEST_SCHEDULE_EXACT_ALARM, Uri.parse("package:$packageName")))
                        },
                    ),
                )
        }
        if (!app.phone.notices.allowed) {
            all +=
                Notice(
                    words.getString(R.string.no_notices),
                    listOf(
                        Touch(words.getString(R.string.allow_notices)) {
                            open(Intent(Settings.ACTION_APP_NOTIFICATION_SETTINGS).putExtra(Settings.EXTRA_APP_PACKAGE, packageName))
                        },
                    ),
                )
        }
        app.syncing.told.value
            ?.let { all += Notice(it) }
        return all
    }

    /** Whether a page is the one on which this device is paired and synced. */
    private fun concernsServer(block: Block) =
        block is Block.Action && block.button.event.let { it == PageEvent.Do(Deed.Pair) || it == PageEvent.Do(Deed.Sync) }

    private fun askForNotices() {
        if (Build.VERSION.SDK_INT < Build.VERSION_CODES.TIRAMISU) return
        val asked = getSharedPreferences("asked", Context.MODE_PRIVATE)
        val wanted = Manifest.permission.POST_NOTIFICATIONS
        if (asked.getBoolean(wanted, false) || checkSelfPermission(wanted) == PackageManager.PERMISSION_GRANTED) return
        asked.edit().putBoolean(wanted, true).apply()
        requestPermissions(arrayOf(wanted), 0)
    }

    /** A headset's button is the wide action while a session is open. */
    private fun listen(open: Boolean) {
        if (!open) {
            session?.release()
            session = null
            return
        }
        if (session != null) return
        session =
            MediaSession(this, "session").apply {
                setCallback(
                    object : MediaSession.Callback() {
                        override fun onMediaButtonEvent(intent: Intent): Boolean {
                            val key = keyOf(intent) ?: return false
                            return key.keyCode in BUTTONS && (key.action != KeyEvent.ACTION_DOWN || key.repeatCount > 0 || house.wide())
                        }
                    },
                )
                setPlaybackState(
                    PlaybackState
                        .Builder()
                        .setActions(PlaybackState.ACTION_PLAY_PAUSE or PlaybackState.ACTION_PLAY or PlaybackState.ACTION_PAUSE)
                        .setState(PlaybackState.STATE_PAUSED, 0, 0f)
                        .build(),
                )
                isActive = true
            }
    }

    private fun keyOf(intent: Intent): KeyEvent? =
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.TIRAMISU) {
            intent.getParcelableExtra(Intent.EXTRA_KEY_EVENT, KeyEvent::class.java)
        } else {
            @Suppress("DEPRECATION")
            intent.getParcelableExtra(Intent.EXTRA_KEY_EVENT)
        }

    override fun onKeyDown(
        code: Int,
        event: KeyEvent,
    ): Boolean {
        if (code !in BUTTONS || event.repeatCount > 0) return super.onKeyDown(code, event)
        return house.wide() || super.onKeyDown(code, event)
    }

    private fun perform(effect: Effect) {
        when (effect) {
            is Effect.OpenDialler -> {
                val number = effect.number.orEmpty()
                if (!open(Intent(Intent.ACTION_DIAL, Uri.fromParts("tel", number, null)))) {
                    said = Notice(app.phone.speaking(this).getString(R.string.no_dialler))
                    show()
                }
            }

            else -> {
                files.perform(effect)
            }
        }
    }

    private fun open(intent: Intent): Boolean =
        try {
            startActivity(intent)
            true
        } catch (_: ActivityNotFoundException) {
            false
        }

    private companion object {
        val BUTTONS =
            setOf(
                KeyEvent.KEYCODE_HEADSETHOOK,
                KeyEvent.KEYCODE_MEDIA_PLAY_PAUSE,
                KeyEvent.KEYCODE_MEDIA_PLAY,
                KeyEvent.KEYCODE_MEDIA_PAUSE,
            )
    }
}

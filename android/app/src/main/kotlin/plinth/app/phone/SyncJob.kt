package plinth.app.phone

import android.app.job.JobInfo
import android.app.job.JobParameters
import android.app.job.JobScheduler
import android.app.job.JobService
import android.content.ComponentName
import android.content.Context
import android.net.NetworkCapabilities
import android.net.NetworkRequest
import android.os.Build
import kotlinx.coroutines.CoroutineScope
import kotlinx.coroutines.Dispatchers
import kotlinx.coroutines.Job
import kotlinx.coroutines.SupervisorJob
import kotlinx.coroutines.cancel
import kotlinx.coroutines.launch
import plinth.app.PlinthApp

/** A sync that the platform begins when there is a connection. Nothing of the record is written by it but by the core. */
internal class SyncJob : JobService() {
    private val scope = CoroutineScope(SupervisorJob() + Dispatchers.Main)
    private var under: Job? = null

    override fun onStartJob(params: JobParameters): Boolean {
        if (running != null) return false // the one under way sends what was written meanwhile
        val mine = Running(params.jobId)
        running = mine
        val app = application as PlinthApp
        under =
            scope.launch {
                try {
                    val next = app.syncing.run()
                    jobFinished(params, false)
                    next?.let { SyncJob.schedule(app, it) }
                } finally {
                    if (running === mine) running = null
                }
            }
        return true
    }

    /** The connection is gone, or the time that a job has is over: again, by the platform's own waits. */
    override fun onStopJob(params: JobParameters): Boolean {
        if (running?.id != params.jobId) return false
        under?.cancel()
        running = null
        return true
    }

    /** One that is under way. */
    private class Running(
        val id: Int,
    )

    override fun onDestroy() {
        scope.cancel()
        super.onDestroy()
    }

    companion object {
        /** Two, so that a job can set the next one: the platform stops a job whose own id is set anew. */
        val IDS = listOf(101, 102)

        /** The first wait after a job that the platform stopped, milliseconds: its own usual one. */
        private const val STOPPED_MS = JobInfo.DEFAULT_INITIAL_BACKOFF_MILLIS

        private var running: Running? = null

        /** Lets the platform begin a sync once [waitMs] are over and there is a connection; in place of any that waits. */
        fun schedule(
            context: Context,
            waitMs: Long,
        ) {
            val jobs = context.service<JobScheduler>()
            val id = IDS.first { it != running?.id }
            IDS.filter { it != id && it != running?.id }.forEach(jobs::cancel)
            jobs.schedule(
                JobInfo
                    .Builder(id, ComponentName(context, SyncJob::class.java))
                    .connected(Syncing.metered(context))
                    .setMinimumLatency(waitMs)
                    .setBackoffCriteria(STOPPED_MS, JobInfo.BACKOFF_POLICY_EXPONENTIAL)
                    .setPersisted(true)
                    .build(),
            )
        }

        /** No sync waits any more. */
        fun cancel(context: Context) = IDS.forEach(context.service<JobScheduler>()::cancel)

        /** A connection, which need not lead to the internet where the platform lets that be said: the server may stand in a basement. */
        private fun JobInfo.Builder.connected(metered: Boolean): JobInfo.Builder {
            if (Build.VERSION.SDK_INT < Build.VERSION_CODES.P) {
                return setRequiredNetworkType(if (metered) JobInfo.NETWORK_TYPE_ANY else JobInfo.NETWORK_TYPE_UNMETERED)
            }
            val request = NetworkRequest.Builder().removeCapability(NetworkCapabilities.NET_CAPABILITY_NOT_VPN)
            if (!metered) request.addCapability(NetworkCapabilities.NET_CAPABILITY_NOT_METERED)
            return setRequiredNetwork(request.build())
        }
    }
}

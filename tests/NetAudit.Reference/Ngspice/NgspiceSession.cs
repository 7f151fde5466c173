using System.Globalization;
using System.Numerics;
using System.Runtime.InteropServices;
using System.Text;

namespace NetAudit.Reference.Ngspice;

/// <summary>
/// ngspice in this process. The library has one global state, so all use goes through <see cref="Use{T}"/>, one caller at a time.
/// </summary>
public sealed unsafe class NgspiceSession
{
    private static readonly Lock Gate = new();
    private static NgspiceSession? session;
    private readonly StringBuilder messages = new();
    private bool exited;
    private bool loaded;

    private NgspiceSession()
    {
        // The callbacks below may come during the start already.
        session = this;
        if (NgspiceNative.Init(&OnText, &OnStatus, &OnExit, null, null, null, null) != 0)
        {
            throw new InvalidOperationException("libngspice would not start");
        }
    }

    /// <summary>Whether libngspice is installed.</summary>
    public static bool IsPresent => NgspiceNative.IsPresent;

    /// <summary>Runs <paramref name="work"/> while nobody else uses the library.</summary>
    public static T Use<T>(Func<NgspiceSession, T> work)
    {
        lock (Gate)
        {
            return work(session ?? new NgspiceSession());
        }
    }

    /// <summary>What ngspice printed since the last load, for messages of failed tests.</summary>
    public string Log => messages.ToString();

    /// <summary>Loads a circuit; the one before is forgotten.</summary>
    /// <exception cref="InvalidOperationException">ngspice refused the circuit.</exception>
    public void Load(IReadOnlyList<string> lines)
    {
        Forget();
        var pointers = stackalloc byte*[lines.Count + 1];
        try
        {
            for (var i = 0; i < lines.Count; i++)
            {
                pointers[i] = (byte*)Marshal.StringToCoTaskMemUTF8(lines[i]);
            }
            pointers[lines.Count] = null;
            ThrowIf(NgspiceNative.Circuit(pointers) != 0 || Failed(), "circuit not accepted");
        }
        finally
        {
            for (var i = 0; i < lines.Count; i++)
            {
                Marshal.FreeCoTaskMem((nint)pointers[i]);
            }
        }
    }

    /// <summary>Loads a netlist file as it stands, with its includes.</summary>
    /// <exception cref="InvalidOperationException">ngspice refused the file.</exception>
    public void LoadFile(string path)
    {
        Forget();
        Command($"source {path}");
        ThrowIf(Failed(), $"{path} not accepted");
        Command("option " + Netlists.NgspiceOptions.Settings);
    }

    /// <summary>Changes a device's main value.</summary>
    public void Alter(string device, double value) =>
        Command(string.Create(CultureInfo.InvariantCulture, $"alter {device} = {value:R}"));

    /// <summary>Solves the operating point; false when ngspice finds none.</summary>
    public bool OperatingPoint()
    {
        Command("destroy all");
        messages.Clear();
        Command("op");
        return !Failed()
            // The last resort, a transient of fixed length, ends before slow nodes have settled.
            && !messages.ToString().Contains("Transient op", StringComparison.Ordinal)
            && Text(NgspiceNative.CurrentPlot()).StartsWith("op", StringComparison.Ordinal);
    }

    /// <summary>A node's voltage, or <c>v1#branch</c> for a source's current, from the last operating point.</summary>
    public double Value(string vector)
    {
        if (vector == "0")
        {
            return 0;
        }
        var info = With(vector, name => (nint)NgspiceNative.VectorInfo(name));
        var found = (VectorInfo*)info;
        ThrowIf(
            found == null || found->RealData == null || found->Length < 1,
            $"no vector {vector}"
        );
        return found->RealData[0];
    }

    /// <summary>Gives a source an amplitude for <see cref="SmallSignal"/>.</summary>
    public void Excite(string source, double amplitude) =>
        Command(
            string.Create(CultureInfo.InvariantCulture, $"alter @{source}[acmag] = {amplitude:R}")
        );

    /// <summary>
    /// Linearises and solves at so many frequencies a decade, in hertz; false when ngspice finds no operating point.
    /// </summary>
    public bool SmallSignal(int pointsPerDecade, double first, double last)
    {
        Command("destroy all");
        messages.Clear();
        Command(
            string.Create(
                CultureInfo.InvariantCulture,
                $"ac dec {pointsPerDecade} {first:R} {last:R}"
            )
        );
        return !Failed()
            && Text(NgspiceNative.CurrentPlot()).StartsWith("ac", StringComparison.Ordinal);
    }

    /// <summary>A node's complex volts at one of the frequencies of the last <see cref="SmallSignal"/>.</summary>
    public Complex Level(string vector, int frequency)
    {
        if (vector == "0")
        {
            return 0;
        }
        var found = (VectorInfo*)With(vector, name => (nint)NgspiceNative.VectorInfo(name));
        ThrowIf(
            found == null || found->ComplexData == null || found->Length <= frequency,
            $"no complex vector {vector}"
        );
        return ((Complex*)found->ComplexData)[frequency];
    }

    /// <summary>Runs a transient; false when ngspice gives up on the way. Times in seconds.</summary>
    /// <param name="step">Step of its plots, and what stands for rise times that are not given.</param>
    /// <param name="stop">End.</param>
    /// <param name="largest">Longest time step.</param>
    public bool Transient(double step, double stop, double largest)
    {
        Command("destroy all");
        messages.Clear();
        Command(
            string.Create(CultureInfo.InvariantCulture, $"tran {step:R} {stop:R} 0 {largest:R}")
        );
        return !Failed()
            && Text(NgspiceNative.CurrentPlot()).StartsWith("tran", StringComparison.Ordinal);
    }

    /// <summary>All values of a vector of the last analysis; <c>time</c> is that of a transient.</summary>
    public double[] Values(string vector)
    {
        var info = With(vector, name => (nint)NgspiceNative.VectorInfo(name));
        var found = (VectorInfo*)info;
        ThrowIf(found == null || found->RealData == null, $"no vector {vector}");
        return new ReadOnlySpan<double>(found->RealData, found->Length).ToArray();
    }

    /// <summary>Runs one ngspice command.</summary>
    public void Command(string text)
    {
        With(text, command => (nint)NgspiceNative.Command(command));
        if (exited)
        {
            throw new InvalidOperationException("ngspice asked to be unloaded: " + messages);
        }
    }

    private delegate nint NativeCall(byte* text);

    private static nint With(string text, NativeCall call)
    {
        var bytes = Marshal.StringToCoTaskMemUTF8(text);
        try
        {
            return call((byte*)bytes);
        }
        finally
        {
            Marshal.FreeCoTaskMem(bytes);
        }
    }

    private void Forget()
    {
        messages.Clear();
        if (loaded)
        {
            Command("remcirc");
        }
        loaded = true;
        Command("destroy all");
        messages.Clear();
    }

    private bool Failed()
    {
        var text = messages.ToString();
        return text.Contains("aborted", StringComparison.OrdinalIgnoreCase)
            || text.Contains("stderr Error", StringComparison.OrdinalIgnoreCase)
            || text.Contains("circuit not parsed", StringComparison.OrdinalIgnoreCase)
            || text.Contains("no circuit loaded", StringComparison.OrdinalIgnoreCase);
    }

    private void ThrowIf(bool condition, string what)
    {
        if (condition)
        {
            throw new InvalidOperationException($"ngspice: {what}: {messages}");
        }
    }

    private static string Text(byte* text) => Marshal.PtrToStringUTF8((nint)text) ?? "";

    [UnmanagedCallersOnly]
    private static int OnText(byte* text, int source, void* user)
    {
        if (session is { messages: { Length: < 20_000 } log })
        {
            log.AppendLine(Text(text));
        }
        return 0;
    }

    [UnmanagedCallersOnly]
    private static int OnStatus(byte* text, int source, void* user) => 0;

    [UnmanagedCallersOnly]
    private static int OnExit(int status, byte immediate, byte quit, int source, void* user)
    {
        session?.exited = true;
        return 0;
    }
}

using System.Runtime.InteropServices;

namespace NetAudit.Reference.Ngspice;

/// <summary>The C interface of libngspice (sharedspice.h, ngspice 39).</summary>
internal static unsafe partial class NgspiceNative
{
    private const string Library = "libngspice.so.0";

    [LibraryImport(Library, EntryPoint = "ngSpice_Init")]
    public static partial int Init(
        delegate* unmanaged<byte*, int, void*, int> sendChar,
        delegate* unmanaged<byte*, int, void*, int> sendStatus,
        delegate* unmanaged<int, byte, byte, int, void*, int> controlledExit,
        void* sendData,
        void* sendInitData,
        void* threadRunning,
        void* userData
    );

    [LibraryImport(Library, EntryPoint = "ngSpice_Command")]
    public static partial int Command(byte* command);

    [LibraryImport(Library, EntryPoint = "ngSpice_Circ")]
    public static partial int Circuit(byte** lines);

    [LibraryImport(Library, EntryPoint = "ngGet_Vec_Info")]
    public static partial VectorInfo* VectorInfo(byte* name);

    [LibraryImport(Library, EntryPoint = "ngSpice_CurPlot")]
    public static partial byte* CurrentPlot();

    /// <summary>True when the shared library can be loaded.</summary>
    public static bool IsPresent { get; } = NativeLibrary.TryLoad(Library, out _);
}

/// <summary>vector_info of sharedspice.h.</summary>
[StructLayout(LayoutKind.Sequential)]
internal unsafe struct VectorInfo
{
    public byte* Name;
    public int Type;
    public short Flags;
    public double* RealData;
    public void* ComplexData;
    public int Length;
}
